import { type MonotonicMs, monotonicMs } from '../../shared/brand.ts'
import type { AuxRole, Sample, Side, ZoneFrame } from '../../shared/sample.ts'

export interface FrameAssemblerOptions {
  readonly sides: readonly Side[]
  /** Longest time between two sides that may stand in one frame; about half a poll period. */
  readonly maxSkewMs: number
  /** How long one side waits for the other before it is sent alone. */
  readonly maxWaitMs: number
  /** Oldest age of an auxiliary sample that still joins a frame. */
  readonly auxMaxAgeMs: Readonly<Partial<Record<AuxRole, number>>>
}

/**
 * Joins the sides of one zone into frames without ever inventing a sample.
 *
 * Two sides that came within `maxSkewMs` of each other make one frame, and the time between
 * them is kept. A side whose partner does not come within `maxWaitMs` is sent alone: the
 * frame then lacks the other side. Each sample is in exactly one frame. O(1) a sample.
 */
export class FrameAssembler {
  readonly #options: FrameAssemblerOptions
  readonly #waiting = new Map<Side, Sample>()
  readonly #aux = new Map<AuxRole, Sample>()

  constructor(options: FrameAssemblerOptions) {
    this.#options = options
  }

  /** The newest auxiliary sample, good or not: a bad one replaces a good one. */
  setAux(role: AuxRole, sample: Sample): void {
    this.#aux.set(role, sample)
  }

  /** Takes one side's sample; returns the frames it completes (none while its partner is awaited). */
  push(side: Side, sample: Sample): readonly ZoneFrame[] {
    if (this.#options.sides.length === 1) return [this.#frame({ [side]: sample })]
    const [partnerSide, partner] = this.#partnerOf(side)
    if (partner !== undefined && partnerSide !== undefined) {
      this.#waiting.delete(partnerSide)
      if (Math.abs(partner.tMs - sample.tMs) <= this.#options.maxSkewMs)
        return [this.#frame({ [partnerSide]: partner, [side]: sample })]
      const alone = this.#frame({ [partnerSide]: partner })
      this.#waiting.set(side, sample)
      return [alone]
    }
    const before = this.#waiting.get(side)
    this.#waiting.set(side, sample)
    return before === undefined ? [] : [this.#frame({ [side]: before })]
  }

  /** Sends alone what has waited too long. */
  expire(now: MonotonicMs): readonly ZoneFrame[] {
    const frames: ZoneFrame[] = []
    for (const [side, sample] of this.#waiting) {
      if (now - sample.tMs <= this.#options.maxWaitMs) continue
      this.#waiting.delete(side)
      frames.push(this.#frame({ [side]: sample }))
    }
    return frames
  }

  #partnerOf(side: Side): readonly [Side | undefined, Sample | undefined] {
    const partner = this.#options.sides.find((s) => s !== side)
    return [partner, partner === undefined ? undefined : this.#waiting.get(partner)]
  }

  #frame(sides: Partial<Record<Side, Sample>>): ZoneFrame {
    const samples = Object.values(sides)
    const tMs = monotonicMs(samples.reduce((sum, s) => sum + s.tMs, 0) / samples.length)
    const { drive_side: drive, operator_side: operator, single } = sides
    const skewMs =
      single !== undefined ? 0 : drive !== undefined && operator !== undefined ? operator.tMs - drive.tMs : null
    return { tMs, skewMs, sides, aux: this.#freshAux(tMs) }
  }

  #freshAux(tMs: MonotonicMs): ZoneFrame['aux'] {
    const fresh: Partial<Record<AuxRole, Sample>> = {}
    for (const [role, sample] of this.#aux) {
      const maxAge = this.#options.auxMaxAgeMs[role] ?? 0
      if (tMs - sample.tMs <= maxAge) fresh[role] = sample
    }
    return fresh
  }
}
