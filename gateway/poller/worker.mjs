// A worker thread does not take the TypeScript loader over from its parent, whichever way that was
// started (by --import, by registering it, or by a test runner): this file brings it along.
import { register } from 'tsx/esm/api'

register()
await import('./worker.ts')
