// Entry of the polling process: plain Node brings the TypeScript loader along, whichever way the parent was started.
import { register } from 'tsx/esm/api'

register({ tsconfig: false })
await import('./polling-process.ts')
