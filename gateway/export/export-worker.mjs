import { register } from 'tsx/esm/api'

register()
await import('./export-worker.ts')
