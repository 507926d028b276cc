import { FrameAssembler } from '../../lib/zone/frame-assembler.ts'
import { monotonicMs } from '../../shared/brand.ts'
import { BACKLOG_SECONDS } from '../../shared/protocol/version.ts'
import { qualityFromByte } from '../../shared/quality.ts'
import { AUX_ROLES, type AuxRole, type Sample, type Side, type ZoneFrame } from '../../shared/sample.ts'
import type { Config } from '../../shared/schemas/config.ts'
import type { Clock } from '../clock.ts'
import type { Recorder, SampleBlock } from '../recorder/recorder.ts'
import { assemblerOptions, zoneInputs } from '../stages/zone-stage.ts'

const AUX: ReadonlySet<string> = new Set(AUX_ROLES)

export interface BackfillOptions {
  readonly config: Config
  readonly clock: Clock
  readonly recorder: Pick<Recorder, 'samples'>
  /** Takes each frame, oldest first. */
  readonly frame: (zoneId: string, frame: ZoneFrame) => void
}

/**
 * Hands the last ten minutes of the store to the stream, joined into frames as they were when they came. A page that was
 * away while the gateway was started again then gets what it missed like any other backlog. To be done before
 * anything new comes; statistics begin anew all the same.
 */
export async function backfillStream({ config, clock, recorder, frame }: BackfillOptions): Promise<void> {
  const toMs = clock.toEpoch(clock.now())
  const offsetMs = clock.toEpoch(monotonicMs(0))
  for (const zone of config.zones) {
    const assembler = new FrameAssembler(assemblerOptions(zoneInputs(config, zone)))
    for await (const block of recorder.samples(zone.id, toMs - BACKLOG_SECONDS * 1000, toMs))
      for (const made of framesOf(block, assembler, offsetMs)) frame(zone.id, made)
    for (const made of assembler.expire(clock.now())) frame(zone.id, made)
  }
}

function* framesOf(block: SampleBlock, assembler: FrameAssembler, offsetMs: number): Generator<ZoneFrame> {
  const columns = block.columns.map(({ role }, i) => ({ role, isAux: AUX.has(role), i }))
  // Of one instant a side takes along what is beside it: that has to be there first.
  const inOrder = [...columns.filter(({ isAux }) => isAux), ...columns.filter(({ isAux }) => !isAux)]
  for (const [row, timeMs] of block.timesMs.entries())
    for (const { role, isAux, i } of inOrder) {
      const sample = sampleAt(block, i, row, timeMs - offsetMs)
      if (sample === null) continue
      if (isAux) assembler.setAux(role as AuxRole, sample)
      else yield* assembler.push(role as Side, sample)
    }
}

/** Null where the column has no sample of this time. */
function sampleAt({ raws, values, codes }: SampleBlock, column: number, row: number, tMs: number): Sample | null {
  const code = qualityFromByte(codes[column]?.[row] ?? Number.NaN)
  if (code === 'missing') return null
  const orNull = (value: number | undefined) => (value === undefined || Number.isNaN(value) ? null : value)
  return {
    tMs: monotonicMs(tMs),
    halfWidthMs: 0,
    raw: orNull(raws[column]?.[row]),
    electrical: null,
    value: orNull(values[column]?.[row]),
    code,
  }
}
