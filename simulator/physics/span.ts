/**
 * Tension of a web span between two driven rollers:
 *
 *   L dT₂/dt = EA (v₂ − v₁) + v₁ T₁ − v₂ T₂
 *
 * with web stiffness EA (N), span length L (m), roller speeds v₁ and v₂ (m/s), tension T₁ of the
 * span before it and T₂ of this one (N). Time constant L/v₂. (Shelton 1986; Whitworth & Harrison
 * 1983; Brandenburg 1976; small strain.) A negative T₂ stands for excess length, −T₂ L/EA metres of it:
 * the web hangs slack and carries nothing until the excess has been taken up.
 */
export interface Span {
  /** EA, N */
  stiffness: number
  /** L, m */
  length: number
}

/** dT₂/dt, N/s. */
function spanRate(span: Span, v1: number, v2: number, t1: number, t2: number): number {
  return (span.stiffness * (v2 - v1) + v1 * t1 - v2 * t2) / span.length
}

/** T₂ after `dt` seconds at constant speeds and T₁: classical Runge–Kutta of fourth order. */
export function stepSpan(span: Span, v1: number, v2: number, t1: number, t2: number, dt: number): number {
  const k1 = spanRate(span, v1, v2, t1, t2)
  const k2 = spanRate(span, v1, v2, t1, t2 + (dt / 2) * k1)
  const k3 = spanRate(span, v1, v2, t1, t2 + (dt / 2) * k2)
  const k4 = spanRate(span, v1, v2, t1, t2 + dt * k3)
  return t2 + (dt / 6) * (k1 + 2 * k2 + 2 * k3 + k4)
}
