import type { ZoneGeometry } from '../../../lib/geometry/description.ts'
import { neighbourAt } from '../../../lib/geometry/neighbour.ts'
import { ImpossiblePath } from '../../../lib/geometry/path-fault.ts'
import { type Roller, type Span, spanBetween } from '../../../lib/geometry/tangent.ts'
import { wrapOf } from '../../../lib/geometry/wrap.ts'
import { keepVerbatim } from '../../_language/current.ts'

/** The web path as far as it can be drawn. */
export interface DrawnPath {
  /** In the web's order, moving neighbour where it is now. */
  readonly rollers: readonly Roller[]
  /** Place of the measuring roller among them. */
  readonly measuring: number
  /** The span after each roller but the last; null where there is none. */
  readonly spans: readonly (Span | null)[]
  /** What cannot be, as sentences that name the rollers. */
  readonly faults: readonly string[]
}

/** Every span that can be, and a sentence for everything that cannot. */
export function drawnPath({ path, moving }: ZoneGeometry, neighbour: number | null): DrawnPath {
  const measuring = path.before.length
  const all = [...path.before, path.measuring, ...path.after]
  const movingAt = moving === null || neighbour === null ? -1 : measuring + (moving.at === 'before' ? -1 : 1)
  const rollers = all.map((roller, i) =>
    i === movingAt && moving !== null && neighbour !== null ? neighbourAt(roller, moving, neighbour) : roller,
  )
  keepVerbatim(all.map(({ name }) => name))
  const faults: string[] = []
  const attempt = <T>(what: () => T): T | null => {
    try {
      return what()
    } catch (error) {
      if (!(error instanceof ImpossiblePath)) throw error
      faults.push(`${error.message}.`)
      return null
    }
  }
  const spans = rollers.slice(1).map((roller, i) => attempt(() => spanBetween(rollers[i] as Roller, roller)))
  rollers.slice(1, -1).forEach((roller, i) => {
    const [before, after] = [rollers[i], rollers[i + 2]]
    if (before !== undefined && after !== undefined && spans[i] !== null && spans[i + 1] !== null)
      attempt(() => wrapOf(before, roller, after))
  })
  return { rollers, measuring, spans, faults: faults.map(capitalised) }
}

const capitalised = (sentence: string): string => sentence.charAt(0).toUpperCase() + sentence.slice(1)
