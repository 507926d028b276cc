import { ofSide } from '../../../lib/geometry/sided.ts'
import { fitOfOutput } from '../../../lib/geometry/signal.ts'
import type { Figures, Level } from '../_model/compute.ts'
import type { Side } from '../_model/edits.ts'
import { channelReading, channelReadingU } from '../_model/signal.ts'

/** The electrical signal expected of a side at a level. */
export interface SignalFigure {
  readonly value: number
  readonly U: number
  readonly unit: string
  /** Whether the output can say it. */
  readonly output: 'fits' | 'under' | 'over'
}

/** By the output that the drawing describes, else by the channel's own zero and gain; null without an electrical scale. */
export function signalOf(figures: Figures, level: Level, side: Side): SignalFigure | null {
  const source = figures.signals[side]
  if (source == null) return null
  const uncertain = ofSide(level.uncertain.sides, side)
  if (source.kind === 'output') {
    const { signal, output } = ofSide(level.expected.sides, side)
    return { value: signal, U: uncertain.signal.U, unit: source.unit, output }
  }
  const { webForce } = ofSide(level.expected.sides, side)
  const value = channelReading(source, webForce)
  const U = 2 * channelReadingU(source, webForce, uncertain.webForce.u)
  return { value, U, unit: source.unit, output: source.is4to20 ? fitOfOutput('4-20mA', value) : 'fits' }
}
