/**
 * Test support: writes a store as fast as it can until it is killed, and prints what is on the disk. A sample's number
 * is in its count and in its time, so that a lost, doubled or displaced one shows.
 */
import { writeSync } from 'node:fs'
import { scalesOf } from '../../../gateway/recorder/scales-of-config.ts'
import { StoreWriter } from '../../../gateway/recorder/store-writer.ts'
import { KEEP, madeColumn, madeConfig, START_MS, STEP_MS } from './made-store.ts'

const BATCH = 20
const SEAL_EVERY = 7

const say = (line: string) => writeSync(1, `${line}\n`)

const [path = ''] = process.argv.slice(2)
const writer = new StoreWriter({ path, minFreeBytes: 0, keep: KEEP, nowMs: START_MS })
writer.configure('aaaaaaaaaaaa', START_MS, scalesOf(madeConfig()))
const { newestMs, lastEventId, setAside } = writer.found
if (setAside !== null) say(`set-aside ${setAside}`)
let next = Number(process.argv[3])
let event = lastEventId
say(`found ${newestMs ?? 0} ${lastEventId}`)
for (let batch = 1; ; batch++) {
  const raws = Array.from({ length: BATCH }, (_, i) => (next + i) % 30_000)
  const fromMs = START_MS + next * STEP_MS
  const { state } = writer.samples([madeColumn('ds', fromMs, STEP_MS, raws), madeColumn('os', fromMs, STEP_MS, raws)])
  if (state !== 'running') throw new Error(state)
  next += BATCH
  say(`samples ${next}`)
  if (batch % SEAL_EVERY === 0) writer.seal()
  if (batch % 5 !== 0) continue
  writer.events([{ id: ++event, timeMs: fromMs, kind: 'note', zone: null, who: null, text: `${event}`, data: {} }])
  say(`event ${event}`)
}
