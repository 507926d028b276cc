import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { CsvRecording } from '../../../gateway/transports/replay/csv-recording.ts'
import { EvenpullError } from '../../../shared/errors.ts'
import { below, mutatedText, noise } from '../mutate.ts'
import type { Target } from '../target.ts'

const SIDES = ['drive_side', 'operator_side']
const REQUEST = {
  unitId: null,
  function: null,
  address: null,
  count: 2,
  items: SIDES.map((source, offset) => ({ channelId: source, offset, words: 1 as const, source })),
}

/** Recorded CSV files, changed, and noise; read from the disk as they are played. */
export const csv: Target = {
  name: 'recorded CSV files',
  inputs: 20_000,
  holds:
    'every row has a finite number, null or NaN a side and time that goes forward; anything else is refused with line and column',
  async open() {
    const folder = mkdtempSync(join(tmpdir(), 'evenpull-fuzz-'))
    const file = join(folder, 'recording.csv')
    return {
      async feed(random) {
        const rows = Array.from({ length: 1 + below(random, 8) }, (_, i) => `${i / 10},${100 + i},${101.5 - i}`)
        const text = `time,drive_side,operator_side\n${rows.join('\n')}\n`
        writeFileSync(file, random.uniform() < 0.05 ? noise(random, 300) : mutatedText(random, text))
        let last = Number.NEGATIVE_INFINITY
        try {
          for await (const { seconds, values } of new CsvRecording(file).rows(REQUEST)) {
            if (!(seconds > last)) throw new Error(`time went from ${last} to ${seconds}`)
            if (
              values.length !== SIDES.length ||
              values.some((v) => v === Number.POSITIVE_INFINITY || v === Number.NEGATIVE_INFINITY)
            )
              throw new Error(`a row of ${JSON.stringify(values)}`)
            last = seconds
          }
          return 'taken'
        } catch (error) {
          if (!(error instanceof EvenpullError && error.code === 'EVP_REPLAY_FORMAT' && error.place !== undefined))
            throw error
          return 'refused'
        }
      },
      close: async () => rmSync(folder, { recursive: true, force: true }),
    }
  },
}
