import { EvenpullError } from '../../shared/errors.ts'
import { splitCells } from '../transports/replay/csv-cells.ts'
import { csvLines } from '../transports/replay/csv-lines.ts'
import { CsvRecording } from '../transports/replay/csv-recording.ts'

/** What a recording holds, as far as a config needs to know. */
export interface RecordingSurvey {
  readonly columns: readonly string[]
  /** From the median spacing of the first rows. */
  readonly rowsPerSecond: number
  /** Largest amount of force of either side, in the unit of the file; 0 when there is none. */
  readonly largestForce: number
}

const SIDES = ['drive_side', 'operator_side']
const MEASURED_SPACINGS = 1000

/**
 * Reads a recording once from end to end.
 * Throws EVP_REPLAY_FILE when it cannot be read and EVP_REPLAY_FORMAT, with the place, when it is wrong.
 */
export async function surveyRecording(path: string): Promise<RecordingSurvey> {
  const items = SIDES.map((source, offset) => ({ channelId: source, offset, words: 1 as const, source }))
  const request = { unitId: null, function: null, address: null, count: items.length, items }
  const spacings: number[] = []
  let largestForce = 0
  let last: number | null = null
  for await (const { seconds, values } of new CsvRecording(path).rows(request)) {
    if (last !== null && spacings.length < MEASURED_SPACINGS) spacings.push(seconds - last)
    last = seconds
    for (const value of values) largestForce = Math.max(largestForce, Math.abs(value || 0))
  }
  return { columns: await columnsOf(path), rowsPerSecond: 1 / medianSpacing(spacings, path), largestForce }
}

async function columnsOf(path: string): Promise<string[]> {
  for await (const { text } of csvLines(path)) return (splitCells(text) ?? []).map((cell) => cell.text)
  return []
}

function medianSpacing(spacings: readonly number[], path: string): number {
  const median = spacings.toSorted((a, b) => a - b)[Math.floor(spacings.length / 2)]
  if (median !== undefined) return median
  const place = { file: path, line: 2, column: 1 }
  throw new EvenpullError('EVP_REPLAY_FORMAT', 'a single row is no recording; expected two or more', { place })
}
