import { expectedSignal, fitOfOutput, type SignalChain } from './signal.ts'

/** What the zone may come to, for the check of the cells. */
export interface LoadRange {
  /** Smallest, usual and largest tension of the whole web, N. */
  readonly smallest: number
  readonly normal: number
  readonly largest: number
  /** The largest tension times this is the overload case, a jam or a break (common practice: 2). */
  readonly overloadFactor: number
  /** Fastest speed, m/s: there the momentum takes most off the smallest tension. */
  readonly fastestSpeed: number
  /** How far the line of pull may run towards the drive side (negative) and the operator side, m from mid-span. */
  readonly linesOfPull: readonly [towardsDrive: number, towardsOperator: number]
}

export type LoadCase = 'bare roller' | 'slack web' | 'smallest tension' | 'largest tension' | 'overload'

/** One side of the roller as the check sees it. */
export interface CapacityInputs {
  readonly load: LoadRange
  readonly forceFactor: number
  /** m v² at the fastest speed, N. */
  readonly momentum: number
  /** Least and largest share of the tension that this side carries over the lines of pull. */
  readonly shares: readonly [least: number, most: number]
  /** Weight of the bare roller along this arrow, N, signed. */
  readonly bareForce: number
  readonly capacity: number
  readonly chain: SignalChain
}

export interface CapacityCase {
  readonly name: LoadCase
  /** Force on the cell along its arrow with the roller's weight, N, signed. */
  readonly force: number
  /** |force| as a share of rated capacity. */
  readonly ofCapacity: number
  /** In the signal's unit, not cut off. */
  readonly signal: number
  readonly output: 'fits' | 'under' | 'over'
}

/** A cell of which the smallest web force uses less than this is too large (common practice, no source). */
export const TOO_LARGE_UNDER = 0.05

/**
 * Force and signal of one cell in every case that could break it or lose its signal: the smallest web force counts
 * with the least share and all momentum taken off, the largest with the most share and none. A slack web leaves the
 * roller's weight alone. Source: `expected` at those states; which states to look at is common practice.
 */
export function capacityCases(inputs: CapacityInputs): readonly CapacityCase[] {
  const { load, forceFactor, shares, bareForce, chain, capacity } = inputs
  const at = (name: LoadCase, webForce: number): CapacityCase => {
    const force = webForce + bareForce
    const signal = expectedSignal(chain, force, bareForce, capacity)
    return { name, force, ofCapacity: Math.abs(force) / capacity, signal, output: fitOfOutput(chain.kind, signal) }
  }
  return [
    at('bare roller', 0),
    at('slack web', 0),
    at('smallest tension', smallestWebForce(inputs)),
    at('largest tension', load.largest * forceFactor * shares[1]),
    at('overload', load.largest * load.overloadFactor * forceFactor * shares[1]),
  ]
}

/** The web's own force at the smallest tension as a share of rated capacity: how much of the cell is used. */
export const smallestUse = (inputs: CapacityInputs): number => Math.abs(smallestWebForce(inputs)) / inputs.capacity

function smallestWebForce({ load, momentum, forceFactor, shares }: CapacityInputs): number {
  return Math.max(0, load.smallest - momentum) * forceFactor * shares[0]
}
