import type { FaultId } from '../../shared/faults.ts'
import type { ActiveFault } from '../faults/active.ts'
import { FAULTS } from '../faults/registry.ts'
import type { RandomStream } from '../physics/random.ts'
import type { Side } from '../technician/bench.ts'
import { drawSeverity, oneOf } from './draw.ts'
import { type Line, placeOf, SIDES, trialOf } from './place.ts'
import { runTest } from './run-test.ts'
import type { TrainingLine } from './training-lines.ts'
import type { TrainingTest } from './training-test.ts'

/** Two causes that can hide one another in this figure of the running line. */
export interface MaskedPair {
  readonly first: FaultId
  readonly second: FaultId
  readonly figure: 'side difference' | 'sum'
}

export const MASKED_PAIRS: readonly MaskedPair[] = [
  { first: 'gain-one-side', second: 'web-off-centre', figure: 'side difference' },
  { first: 'channel-fault', second: 'web-off-centre', figure: 'side difference' },
  { first: 'channel-fault', second: 'gain-one-side', figure: 'side difference' },
  { first: 'span-wrong', second: 'tension-change', figure: 'sum' },
  { first: 'both-arrows-off', second: 'span-wrong', figure: 'sum' },
  { first: 'zero-wrong', second: 'span-wrong', figure: 'sum' },
]

/** Of what the first does to the figure alone, at most this much is left with both. */
export const LEFT_AT_MOST = 0.25

const RUNNING: TrainingTest = {
  id: 'running-figures',
  title: 'Both sides while the line runs',
  steps: () => [{ look: 'running', needs: { power: ['running'], free: true }, settle: 12, seconds: 4 }],
}

/** The figure while the line runs with these faults in it: % for the side difference, mV/V for the sum; NaN without signals. */
export function runningFigure(
  line: Line,
  faults: readonly ActiveFault[],
  { zone, figure }: { readonly zone: string; readonly figure: MaskedPair['figure'] },
  seed: number,
): number {
  const { readings } = runTest(trialOf(line, faults, seed), RUNNING, placeOf(line, zone))
  const of = (side: Side) =>
    Number(readings.find((one) => one.side === side && one.figure === 'signal, running')?.value ?? Number.NaN)
  const [ds, os] = [of('drive_side'), of('operator_side')]
  return figure === 'sum' ? ds + os : (100 * (os - ds)) / (ds + os)
}

/** Clear enough that each of both is worth finding, small enough that the other can hide it. */
const TIMES = [1, 1.8] as const

/** A pair of which the second has the size that brings the running figure back; null where it has none. */
export function drawMasked(
  { scenario: line, zones }: TrainingLine,
  seed: number,
  random: RandomStream,
): ActiveFault[] | null {
  const zone = oneOf(zones, random)
  const pair = oneOf(MASKED_PAIRS, random)
  const side = oneOf(SIDES, random)
  const at = (fault: FaultId, severity: number): ActiveFault => ({
    fault,
    zone,
    side: FAULTS[fault].sides === 'one' ? side : null,
    severity,
    onset: { kind: 'constant' },
  })
  const first = at(pair.first, drawSeverity(pair.first, TIMES, random))
  const figure = (...faults: ActiveFault[]) => runningFigure(line, faults, { zone, figure: pair.figure }, seed)
  const sound = figure()
  const alone = figure(first) - sound
  const size = hidingSize(pair.second, (severity) => figure(first, at(pair.second, severity)) - sound, alone)
  return size === null ? null : [first, at(pair.second, size)]
}

/** Size of a fault that takes a figure's error to nothing, by the secant from none and the typical size on; null: none does. */
function hidingSize(cause: FaultId, errorAt: (severity: number) => number, without: number): number | null {
  const { least, typical, most } = FAULTS[cause].severity
  let [x0, e0, x1, e1] = [0, without, typical, errorAt(typical)]
  for (let i = 0; i < 4; i++) {
    if (Math.abs(e1) <= (LEFT_AT_MOST / 2) * Math.abs(without)) break
    const next = Number((x1 - (e1 * (x1 - x0)) / (e1 - e0)).toPrecision(3))
    if (!Number.isFinite(next) || Math.abs(next) > most) return null
    ;[x0, e0, x1, e1] = [x1, e1, next, errorAt(next)]
  }
  const hides = Math.abs(e1) <= LEFT_AT_MOST * Math.abs(without) && Math.abs(x1) >= least
  return hides && (x1 > 0 || FAULTS[cause].severity.eitherWay === true) ? x1 : null
}
