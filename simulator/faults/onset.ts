import { z } from 'zod'
import type { RandomStream } from '../physics/random.ts'

const seconds = z.number().min(0)

/** When a fault is there. Times are seconds after it was put in. */
export const onset = z.discriminatedUnion('kind', [
  z.strictObject({ kind: z.literal('constant') }),
  z.strictObject({ kind: z.literal('sudden'), after_s: seconds }),
  /** Grows evenly from nothing to full size. */
  z.strictObject({ kind: z.literal('growing'), after_s: seconds.default(0), over_s: z.number().positive() }),
  /** Grows evenly with the hall's temperature. */
  z.strictObject({ kind: z.literal('with-temperature'), from_c: z.number(), full_c: z.number() }),
  z.strictObject({ kind: z.literal('with-speed'), from_m_s: z.number().min(0), full_m_s: z.number().positive() }),
  /** Comes and goes by chance; means of exponential times. */
  z.strictObject({ kind: z.literal('intermittent'), on_s: z.number().positive(), off_s: z.number().positive() }),
])
export type Onset = z.infer<typeof onset>

/** What an onset looks at in one step. */
export interface OnsetAround {
  /** Since the fault was put in, s. */
  readonly since: number
  /** Hall, °C; line, m/s. */
  readonly ambient: number
  readonly speed: number
}

/** Follows one onset; remembers whether an intermittent fault is there. */
export class OnsetLevel {
  readonly #onset: Onset
  readonly #random: RandomStream
  #there = false
  #left = 0

  constructor(of: Onset, random: RandomStream) {
    this.#onset = of
    this.#random = random
    if (of.kind === 'intermittent') this.#left = this.#chance(of.off_s)
  }

  /** 0 (not there) to 1 (full size) after a step of `dt` s. */
  step({ since, ambient, speed }: OnsetAround, dt: number): number {
    const of = this.#onset
    switch (of.kind) {
      case 'constant':
        return 1
      case 'sudden':
        return since >= of.after_s ? 1 : 0
      case 'growing':
        return share(since - of.after_s, of.over_s)
      case 'with-temperature':
        return share(ambient - of.from_c, of.full_c - of.from_c)
      case 'with-speed':
        return share(speed - of.from_m_s, of.full_m_s - of.from_m_s)
      case 'intermittent':
        return this.#intermittent(of.on_s, of.off_s, dt)
    }
  }

  #intermittent(on: number, off: number, dt: number): number {
    this.#left -= dt
    while (this.#left <= 0) {
      this.#there = !this.#there
      this.#left += this.#chance(this.#there ? on : off)
    }
    return this.#there ? 1 : 0
  }

  #chance(mean: number): number {
    return -mean * Math.log(1 - this.#random.uniform())
  }
}

/** `part` of `whole`, held within 0 and 1; all at once where there is no way between. */
function share(part: number, whole: number): number {
  if (whole === 0) return part >= 0 ? 1 : 0
  return Math.min(1, Math.max(0, part / whole))
}
