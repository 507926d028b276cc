import type { VerificationContext } from '../../lib/verification/context.ts'
import { captureFacts } from '../../lib/verification/evidence/capture-facts.ts'
import { captureSpectrum, SPECTRUM_FROM_S } from '../../lib/verification/evidence/capture-spectrum.ts'
import { linesOf } from '../../lib/verification/evidence/lines.ts'
import type { CapturedRows } from '../../lib/verification/evidence/rows.ts'
import { EvenpullError } from '../../shared/errors.ts'
import type { Capture, CaptureAsk } from '../../shared/schemas/verification/capture.ts'
import type { SampleBlock } from '../recorder/read-samples.ts'
import type { Recorder } from '../recorder/recorder.ts'
import { inSlices } from '../spectrum/in-slices.ts'
import { rateOf } from '../stages/zone-stage.ts'

/** Of a longer capture only the end is read sample by sample, and it says so: what it stands for is told by its minutes. */
const MOST_MS = 10 * 60_000
/** No capture is longer than a day, nor shorter than a moment. */
const LONGEST_MS = 24 * 3_600_000
const SHORTEST_MS = 500
/** What ends this soon is waited for, and a little more: samples take a moment from the device to the recorder. */
const WAITED_FOR_MS = 1000
const ON_THE_WAY_MS = 250

export interface CaptureReader {
  readonly recorder: Pick<Recorder, 'samples'>
  readonly nowMs: () => number
  /** Of the thread, for slices. */
  readonly monotonicMs: () => number
  /** Resolves after so many ms. */
  readonly wait: (ms: number) => Promise<unknown>
}

/**
 * What a stretch of recorded samples says. Rejects with EVP_CAPTURE when the stretch cannot be one: it has not been
 * yet, holds no samples, or the config changed in or after it.
 */
export async function readCapture(
  reader: CaptureReader,
  context: VerificationContext,
  ask: CaptureAsk,
): Promise<Capture> {
  const { fromMs, toMs } = ask
  refuseStretch(ask, reader.nowMs())
  const early = toMs + ON_THE_WAY_MS - reader.nowMs()
  if (early > 0) await reader.wait(early)
  const readFromMs = Math.max(fromMs, toMs - MOST_MS)
  const blocks: SampleBlock[] = []
  for await (const block of reader.recorder.samples(context.zone.id, readFromMs, toMs)) {
    if (block.revision !== context.revision)
      throw new EvenpullError(
        'EVP_CAPTURE',
        `the config was changed in or after this capture (from ${block.revision} to ${context.revision})`,
      )
    blocks.push(block)
  }
  const rows = joined(blocks)
  if (rows === null) throw new EvenpullError('EVP_CAPTURE', 'no sample of this zone was recorded in this stretch')
  const lines = await spectralLines(reader, context, rows, readFromMs, toMs)
  const capture = captureFacts(context, { ...ask, fromMs: readFromMs }, rows, lines)
  if (readFromMs === fromMs) return capture
  const offsetS = (readFromMs - fromMs) / 1000
  return {
    ...capture,
    fromMs,
    sampledFromMs: readFromMs,
    change: Object.fromEntries(
      Object.entries(capture.change).map(([side, moved]) => [
        side,
        moved === null ? null : { ...moved, atS: moved.atS + offsetS },
      ]),
    ),
    trace: { ...capture.trace, t: capture.trace.t.map((t) => Number((t + offsetS).toFixed(4))) },
  }
}

function refuseStretch({ fromMs, toMs, capture }: CaptureAsk, nowMs: number): void {
  const refuse = (why: string) => new EvenpullError('EVP_CAPTURE', `capture ${capture}: ${why}`)
  if (!(toMs - fromMs >= SHORTEST_MS)) throw refuse('its end must come at least half a second after its begin')
  if (toMs - fromMs > LONGEST_MS) throw refuse('it is longer than a day')
  if (toMs > nowMs + WAITED_FOR_MS) throw refuse('it ends in the future')
}

/** The blocks as one; null without a row. */
function joined(blocks: readonly SampleBlock[]): CapturedRows | null {
  const [first] = blocks
  const count = blocks.reduce((sum, { timesMs }) => sum + timesMs.length, 0)
  if (first === undefined || count === 0) return null
  const columns = first.columns.map(({ role }) => role)
  const timesMs = new Float64Array(count)
  const values = columns.map(() => new Float64Array(count))
  const raws = columns.map(() => new Float64Array(count))
  const codes = columns.map(() => new Uint8Array(count))
  let at = 0
  for (const block of blocks) {
    timesMs.set(block.timesMs, at)
    for (let i = 0; i < columns.length; i += 1) {
      values[i]?.set(block.values[i] ?? [], at)
      raws[i]?.set(block.raws[i] ?? [], at)
      codes[i]?.set(block.codes[i] ?? [], at)
    }
    at += block.timesMs.length
  }
  return { revision: first.revision, columns, timesMs, values, raws, codes }
}

async function spectralLines(
  { monotonicMs }: CaptureReader,
  context: VerificationContext,
  rows: CapturedRows,
  fromMs: number,
  toMs: number,
): Promise<Capture['lines']> {
  const seconds = (toMs - fromMs) / 1000
  if (seconds < SPECTRUM_FROM_S) return []
  const { config, zone } = context
  const rateHz = Math.min(...Object.values(zone.cells).map((id) => rateOf(config, id)))
  return linesOf(await inSlices(captureSpectrum(context, rows, { rateHz, seconds, toMs }), monotonicMs))
}
