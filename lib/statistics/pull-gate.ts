import type { Side } from '../../shared/sample.ts'
import { Smoother } from './smoother.ts'
import { SIDE_NAMES } from './systematic.ts'
import { shortNumber } from './words.ts'
import type { CellOptions } from './zone-statistics-options.ts'

/** A slack web counts as taut again above this multiple of the limit, so that noise does not toggle it (common practice, no source). */
const TAUT_AGAIN = 1.25
/** A side pulls away from its arrow beyond this share of its capacity (common practice, no source). */
export const AWAY_SHARE = 0.02
const SMOOTHING_MS = 500

/** How the web pulls on the arrows. */
type Pull = 'taut' | 'slack' | 'first-away' | 'second-away' | 'both-away'

/** What to look at when these sides read a pull against their arrows. */
export function awayWords(sides: readonly Side[]): string {
  const [only, other] = sides
  const which =
    only === undefined || other !== undefined
      ? 'both sides pull away from their arrows'
      : `the ${SIDE_NAMES[only]} pulls away from its arrow`
  return `${which}: check arrow direction, polarity, sign of gain, and zero`
}

/**
 * Whether the web pulls as it can: a web only ever pulls one way, so a side that reads the other way is wrong, and so is
 * every figure that compares, divides by or follows it. In this order: a side beyond −2 % of its capacity pulls
 * away from its arrow; a total within ± the slack limit is slack; a total beyond minus the limit pulls away as a whole.
 * All smoothed, with hysteresis. Forces come with the sign of their force factor. O(1).
 */
export class PullGate {
  readonly #sides: readonly Side[]
  readonly #slackBelowN: number
  readonly #awayN: readonly [first: number, second: number]
  readonly #total = new Smoother(SMOOTHING_MS)
  readonly #first = new Smoother(SMOOTHING_MS)
  readonly #second = new Smoother(SMOOTHING_MS)
  #firstAway = false
  #secondAway = false
  #pull: Pull | undefined

  /** @param slackBelowN 0: never slack, and a total is not judged by its sign */
  constructor(cells: readonly CellOptions[], slackBelowN: number) {
    this.#sides = cells.map(({ side }) => side)
    this.#slackBelowN = slackBelowN
    this.#awayN = [awayBelowN(cells[0]), awayBelowN(cells[1])]
  }

  /** False before the first total. */
  get isSlack(): boolean {
    return this.#pull === 'slack'
  }

  /** The web is slack. Undefined before the first total. */
  get slackText(): string | undefined {
    return this.isSlack ? `the web is slack: under ${shortNumber(this.#slackBelowN)} N` : undefined
  }

  /** A side, or the whole, pulls away from its arrow. */
  get awayText(): string | undefined {
    switch (this.#pull) {
      case 'first-away':
        return awayWords(this.#sides.slice(0, 1))
      case 'second-away':
        return awayWords(this.#sides.slice(1, 2))
      case 'both-away':
        return awayWords(this.#sides)
      default:
        return undefined
    }
  }

  /**
   * Takes the sides' forces, NaN for a side that is not there, and their total; returns why every window begins anew
   * when this changed how the web pulls. The first frame changes nothing.
   */
  add(tMs: number, totalN: number, firstN: number, secondN: number): string | undefined {
    this.#firstAway = isAway(this.#first.add(tMs, firstN), this.#awayN[0], this.#firstAway)
    this.#secondAway =
      !Number.isNaN(secondN) && isAway(this.#second.add(tMs, secondN), this.#awayN[1], this.#secondAway)
    const before = this.#pull
    this.#pull = this.#pullOf(this.#total.add(tMs, totalN), before === 'slack')
    return before === undefined || before === this.#pull ? undefined : this.#changeText()
  }

  #pullOf(totalN: number, wasSlack: boolean): Pull {
    if (this.#firstAway && this.#secondAway) return 'both-away'
    if (this.#firstAway) return 'first-away'
    if (this.#secondAway) return 'second-away'
    const limitN = this.#slackBelowN
    if (limitN === 0) return 'taut'
    if (Math.abs(totalN) <= (wasSlack ? TAUT_AGAIN : 1) * limitN) return 'slack'
    return totalN < 0 ? 'both-away' : 'taut'
  }

  #changeText(): string {
    if (this.#pull === 'slack') return 'the web went slack'
    if (this.#pull === 'taut') return 'the web came under tension'
    return 'a side turned to pull away from its arrow'
  }
}

/** Infinite where the capacity is not known. */
function awayBelowN(cell: CellOptions | undefined): number {
  return cell === undefined || cell.capacityN === 0 ? Number.POSITIVE_INFINITY : AWAY_SHARE * cell.capacityN
}

function isAway(forceN: number, limitN: number, was: boolean): boolean {
  return forceN < -limitN / (was ? TAUT_AGAIN : 1)
}
