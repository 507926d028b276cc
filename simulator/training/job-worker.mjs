// Entry of a job's thread: plain Node brings the TypeScript loader along, whichever way the process was started.
import { register } from 'tsx/esm/api'

register({ tsconfig: false })
await import('./job-worker.ts')
