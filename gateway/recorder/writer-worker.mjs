// Entry of the writer's thread: plain Node brings the TypeScript loader along, whichever way the process was started.
import { register } from 'tsx/esm/api'

register({ tsconfig: false })
await import('./writer-worker.ts')
