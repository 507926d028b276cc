import type { Span } from './span.ts'

/** How firmly the driven roller after the span holds its tension. */
export interface DriveParameters {
  /** Share of a tension error taken back per second at any speed, 1/s. */
  proportional: number
  /** Rate at which a lasting error moves the draw, 1/s². */
  integral: number
  /** Excess length it pays out when it lets go, m. */
  slackLength: number
  /** Share of its set tension that it really holds; all of it where this is left out. */
  holds?: number
}

/** Under this speed the draw is held, so that it does not wind up while the web stands, m/s. */
const DRAW_HOLDS_BELOW = 0.05

/** The drive after the span: keeps a set tension by running a little faster than the one before. */
export class TensionDrive {
  readonly #parameters: DriveParameters
  #draw: number

  /** Starts at the draw that holds `tension` against `tensionBefore`: v₂/v₁ = (EA − T₁)/(EA − T₂). */
  constructor(parameters: DriveParameters, span: Span, tensionBefore: number, tension: number) {
    this.#parameters = parameters
    this.#draw = (span.stiffness - tensionBefore) / (span.stiffness - tension) - 1
  }

  /** Speed v₂ of the driven roller for the next `dt` seconds, m/s. */
  speed(span: Span, v1: number, setTension: number, tension: number, dt: number): number {
    const error = setTension - tension
    if (v1 > DRAW_HOLDS_BELOW) this.#draw += (this.#parameters.integral * error * dt) / span.stiffness
    return v1 * (1 + this.#draw) + (this.#parameters.proportional * error * span.length) / span.stiffness
  }
}
