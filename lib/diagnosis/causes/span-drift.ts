import { add, amplitude, type Cause, own, type Seat, spread, type Touched, yes, zone } from '../cause.ts'
import { usualForce, weightPart } from '../mechanics.ts'
import { sizesEitherWay } from '../severity-grid.ts'

/** It has gone on the same way since the span was taken: for so many hours, give or take as many (common practice). */
const SINCE_H = 4

/** Share of the span that the weight of the bare roller is along the arrow: that part of the reading moves too. */
function weightShare({ context }: Seat): number {
  const [part, { weightN, spanN }] = [weightPart(context), context]
  return part === null || weightN === null || !spanN ? 0 : (part * weightN) / Math.abs(spanN)
}

/** By how much the gain is off by now, and with it the reading of the bare roller. */
function offByNow(seat: Seat, rate: number, weight: number, withWeight: number): readonly Touched[] {
  const off = rate * SINCE_H
  const zero = add(off * weight, Math.abs(off * weight))
  const part = seat.pair ? off / 2 : off
  const share = add(part, Math.abs(part))
  const both = add(part * withWeight, Math.abs(part * withWeight))
  const apart = (of: number) => add(seat.sign * of, Math.abs(of))
  return [
    own('offset', zero),
    own('zero-return', zero),
    zone('slope-common', share),
    zone('weight-common', share),
    zone('agreement-now', both),
    ...(seat.pair
      ? [
          zone('slope-difference', apart(part)),
          zone('weight-difference', apart(part)),
          zone('imbalance-now', apart(part * withWeight)),
        ]
      : []),
  ]
}

export const spanDrift: Cause = {
  id: 'span-drift',
  title: 'Gain moves with time',
  words: 'The gain of one side moves: its ratio to expected changes, its zero only by the roller’s weight.',
  source: 'ratio and offset of a line at two times; sizes: common practice',
  prior: 0.015,
  severity: sizesEitherWay('gain moves by', '%/h', 0.1, 20),
  predict: (rate, seat) => {
    const { sign, pair, context } = seat
    const weight = weightShare(seat)
    // A share of what the web pulls: all that the side reads, with its zero, moves by the rate.
    const withWeight = 1 + (100 * weight) / usualForce(context)
    const part = pair ? rate / 2 : rate
    const about = Math.abs(part * withWeight) / 5
    return [
      zone('span-drift', add(part, Math.abs(part) / 5)),
      zone('drift-residual', add(part * withWeight, about)),
      ...(pair ? [zone('drift-side-difference', add(sign * part * withWeight, about))] : []),
      own('zero-drift', add(rate * weight, Math.abs(rate * weight) / 5)),
      own('zero-step', spread(rate * weight * SINCE_H)),
      // What has moved while the web hung slack is a step when it runs again.
      zone('steps', amplitude(2 * Math.abs(rate), 4)),
      ...offByNow(seat, rate, weight, withWeight),
      own('excitation-error', spread(rate * SINCE_H)),
      own('shunt-error', spread(rate * SINCE_H)),
      own('follows-cell', yes(0.4)),
      own('follows-channel', yes(0.4)),
    ]
  },
  remedy: 'Measure excitation and the shunt step now and later; the part that moved is changed, then span again.',
}
