import { ConfigFile } from '../../../gateway/config/config-file.ts'
import { loadConfig } from '../../../gateway/config/load.ts'

/** Changes the config named on the command line once, as the gateway does. */
const path = process.argv[2] ?? ''
const { revision } = await loadConfig(path)
const file = new ConfigFile({ path, nowEpochMs: () => Date.now(), log: (line) => console.error(line) })
await file.open()
process.emit('evenpull-test-begin' as 'exit', 0)
await file.change({
  baseRevision: revision,
  who: 'A. Fitter',
  action: 'zero',
  record: null,
  edits: () => [{ path: ['channels', 0, 'force', 'zero'], value: 0.05 }],
})
