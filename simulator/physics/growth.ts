import type { BothEnds } from './ends.ts'

/** How a shaft grows between its cells. */
export interface GrowthParameters {
  /** Linear expansion of shaft and frame, 1/K. */
  shaftExpansion: number
  frameExpansion: number
  /** Temperature at which the clearance was set, °C. */
  setAt: number
  /** How much warmer than the hall the shaft gets while it turns, K, and how slowly, s. */
  shaftWarmth: number
  warmingTime: number
  /** The end that takes up the growth; the other one is held. */
  floating: keyof BothEnds<unknown>
  /** Once the gap is closed: stiffness along the shaft, N/m, and how much of that force a cell feels, N/N. */
  stiffness: number
  crossTalk: number
}

/** The shaft's own warmth and what comes of it. */
export class ShaftGrowth {
  #warmth = 0
  #dt = Number.NaN
  #approach = 0

  /** Growth of the shaft against its frame, m: L (α_s ΔT_s − α_f ΔT_f). */
  step(growth: GrowthParameters, cellDistance: number, hall: number, turns: boolean, dt: number): number {
    const aim = turns ? growth.shaftWarmth : 0
    if (dt !== this.#dt) {
      this.#dt = dt
      this.#approach = 1 - Math.exp(-dt / growth.warmingTime)
    }
    this.#warmth += (aim - this.#warmth) * this.#approach
    const frame = hall - growth.setAt
    return cellDistance * (growth.shaftExpansion * (frame + this.#warmth) - growth.frameExpansion * frame)
  }
}

/**
 * What the operator side's cell feels of a shaft that has grown beyond its clearance, N; the drive side's feels the
 * opposite, because the shaft pushes them apart.
 */
export function squeeze(growth: GrowthParameters, grown: number, clearance: number): number {
  const force = growth.crossTalk * growth.stiffness * Math.max(0, grown - clearance)
  return growth.floating === 'operator_side' ? force : -force
}
