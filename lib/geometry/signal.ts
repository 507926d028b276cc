/** What an output makes of the force on one cell. */
export type SignalChain =
  /** The bare cell: its rated output, mV/V at rated capacity, and its zero balance, mV/V. */
  | { readonly kind: 'mV/V'; readonly ratedOutput: number; readonly zeroBalance: number }
  /** The same under excitation, V. */
  | { readonly kind: 'mV'; readonly ratedOutput: number; readonly zeroBalance: number; readonly excitation: number }
  /** An amplifier: the force that makes its full output, N, and what its zero was taken on. */
  | {
      readonly kind: '4-20mA' | '0-10V' | '±10V'
      readonly fullScaleForce: number
      readonly zeroedOn: 'unloaded cell' | 'bare roller'
    }

export const UNIT_OF_SIGNAL = { 'mV/V': 'mV/V', mV: 'mV', '4-20mA': 'mA', '0-10V': 'V', '±10V': 'V' } as const

/** Output without force and at the force of its full output (IEC 60381-1 and -2, direct current and voltage signals). */
const ENDS = { '4-20mA': [4, 20], '0-10V': [0, 10], '±10V': [0, 10] } as const

/**
 * Lowest and highest value an output can say: 3.8 and 20.5 mA by NAMUR NE 43; 0–10 V cannot go under 0, ±10 V can.
 * A bridge has no such ends of its own.
 */
export const OUTPUT_LIMITS = {
  'mV/V': null,
  mV: null,
  '4-20mA': [3.8, 20.5],
  '0-10V': [0, 10],
  '±10V': [-10, 10],
} as const

/**
 * Electrical signal of a force along the arrow: zero + force/capacity × rated output (× excitation), or
 * zero + force/full scale × the output's span. Not cut off at the output's ends: see `fitOfOutput`.
 *
 * @param force on the cell along its arrow, the roller's weight included, N
 * @param bareForce the weight alone: what an amplifier zeroed on the bare roller calls zero, N
 * @param capacity of the cell, N
 */
export function expectedSignal(chain: SignalChain, force: number, bareForce: number, capacity: number): number {
  if (chain.kind === 'mV/V') return chain.zeroBalance + (force / capacity) * chain.ratedOutput
  if (chain.kind === 'mV') return chain.excitation * (chain.zeroBalance + (force / capacity) * chain.ratedOutput)
  const [zero, full] = ENDS[chain.kind]
  const seen = chain.zeroedOn === 'bare roller' ? force - bareForce : force
  return zero + (seen / chain.fullScaleForce) * (full - zero)
}

/** Whether an output can say this value, or is cut off at its bottom or top. */
export function fitOfOutput(kind: SignalChain['kind'], value: number): 'fits' | 'under' | 'over' {
  const limits = OUTPUT_LIMITS[kind]
  if (limits === null) return 'fits'
  if (value < limits[0]) return 'under'
  return value > limits[1] ? 'over' : 'fits'
}
