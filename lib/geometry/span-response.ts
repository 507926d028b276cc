/**
 * Small-strain model of a web span between two driven rollers: L dT₂/dt = EA (v₂ − v₁) + v₁ T₁ − v₂ T₂.
 * Sources: Shelton 1968; Whitworth & Harrison 1983; Brandenburg 1973 (attributions from memory). The full strain model
 * T₂ = EA ((1 + T₁/EA) v₂/v₁ − 1) gives more by a share of about v₂/v₁ − 1 + T₁/EA.
 */
export interface DrivenSpan {
  /** E·A of the web, N. */
  readonly stiffness: number
  /** m */
  readonly length: number
  /** Surface speed of the rollers at its beginning and end, m/s. */
  readonly v1: number
  readonly v2: number
  /** Tension of the span before, N. */
  readonly tension1: number
}

/** Tension to which the span settles, N: EA (1 − v₁/v₂) + T₁ v₁/v₂. */
export const settledTension = ({ stiffness, v1, v2, tension1 }: Omit<DrivenSpan, 'length'>): number =>
  stiffness * (1 - v1 / v2) + (tension1 * v1) / v2

/** Tension `seconds` after the span held `from` newtons and its speeds stayed as they are, N: an exponential with L/v₂. */
export function tensionAfter(span: DrivenSpan, from: number, seconds: number): number {
  const settled = settledTension(span)
  return settled + (from - settled) * Math.exp(-seconds / spanTimeConstant(span.length, span.v2))
}

/** Time constant L/v of a span, s: no tension step arrives faster. Infinity at standstill. */
export const spanTimeConstant = (length: number, speed: number): number => length / speed

/** Time until a step is within `share` of its end, s: −τ ln(share). */
export const settlingTime = (length: number, speed: number, share: number): number =>
  -spanTimeConstant(length, speed) * Math.log(share)
