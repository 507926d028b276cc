// Entry of a report's thread, in plain Node, whichever way the process was started.
import { loadSource } from '../start/load-source.mjs'

await loadSource('gateway/reports/report-worker.ts')
