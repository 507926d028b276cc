/**
 * Second-order low-pass filter, as an amplifier has one: H(s) = ω²/(s² + 2ζωs + ω²), made discrete
 * by the bilinear transform with the corner prewarped, so that the gain at the corner is 1/(2ζ)
 * exactly (0.7071 for ζ = 1/√2, Butterworth). A corner at or above half the step rate passes
 * everything. (Oppenheim & Schafer, Discrete-Time Signal Processing, §7.1; from memory.)
 */
export class LowPass {
  #corner = Number.NaN
  #damping = Number.NaN
  #dt = Number.NaN
  #b0 = 1
  #a1 = 0
  #a2 = 0
  #z1 = 0
  #z2 = 0
  #primed = false
  #last = 0

  /** One step of `dt` seconds: corner in Hz, damping ratio ζ. The first input is taken as the steady state. */
  step(input: number, corner: number, damping: number, dt: number): number {
    if (corner * dt >= 0.5) {
      this.#primed = false
      return input
    }
    if (corner !== this.#corner || damping !== this.#damping || dt !== this.#dt) this.#design(corner, damping, dt)
    if (!this.#primed) this.#settle(input)
    const output = this.#b0 * input + this.#z1
    this.#z1 = 2 * this.#b0 * input - this.#a1 * output + this.#z2
    this.#z2 = this.#b0 * input - this.#a2 * output
    this.#last = output
    return output
  }

  #design(corner: number, damping: number, dt: number): void {
    this.#corner = corner
    this.#damping = damping
    this.#dt = dt
    const w = Math.tan(Math.PI * corner * dt)
    const norm = 1 / (1 + 2 * damping * w + w * w)
    this.#b0 = w * w * norm
    this.#a1 = 2 * (w * w - 1) * norm
    this.#a2 = (1 - 2 * damping * w + w * w) * norm
    // The memory belongs to the old coefficients: a knob that is turned goes on from where the output stands.
    if (this.#primed) this.#settle(this.#last)
  }

  #settle(input: number): void {
    this.#z1 = input * (1 - this.#b0)
    this.#z2 = input * (this.#b0 - this.#a2)
    this.#primed = true
  }
}
