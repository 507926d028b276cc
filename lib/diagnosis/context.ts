import type { DiagnosisContext } from '../../shared/schemas/diagnosis.ts'
import { pathCandidates } from '../geometry/path-candidates.ts'
import { entriesOf, mapSides } from '../geometry/sided.ts'
import { degrees } from '../geometry/vector.ts'
import { expectedOrNull, spanOfSide, type VerificationContext } from '../verification/context.ts'

/** Other paths that change the ratio by less are within what a sound install differs by, %. */
const LEAST_PATH_PERCENT = 3

/** What the predictions need to know of a zone; what its config does not tell stays null. */
export function diagnosisContextOf(context: VerificationContext): DiagnosisContext {
  const { sides, zone, geometry } = context
  const expected = expectedOrNull(context)
  const [first] = sides
  const nothing = {
    sides: [...sides],
    arrowTargetDeg: null,
    wrapDeg: null,
    momentumPercent: null,
    weightN: null,
    spanN: null,
    usualPercentOfSpan: null,
    otherPathsPercent: [],
    referenceIsTyped: zone.reference === undefined,
  }
  if (first === undefined || geometry === null || expected === null) return nothing
  const span = spanOfSide(context, first)
  const each = entriesOf(expected.sides).map(([, side]) => side)
  const mean = (of: (side: (typeof each)[number]) => number): number =>
    each.reduce((sum, side) => sum + of(side), 0) / each.length
  const force = mean(({ webForce }) => Math.abs(webForce))
  return {
    ...nothing,
    arrowTargetDeg: degrees(expected.target.angle),
    wrapDeg: degrees(expected.wrap.angle),
    momentumPercent: momentumPercent(
      expected.momentum,
      force,
      mean(({ forceFactor }) => Math.abs(forceFactor)),
      each.length,
    ),
    weightN: mean(({ weightShare }) => weightShare) * geometry.geometry.roller.mass * geometry.geometry.gravity,
    spanN: span,
    usualPercentOfSpan: span === 0 ? null : (100 * force) / span,
    otherPathsPercent: otherPaths(context),
  }
}

/** m v² over the tension that the web then has in force and momentum together. */
function momentumPercent(momentum: number, force: number, factor: number, sides: number): number | null {
  if (factor === 0) return null
  const left = (force * sides) / factor
  return left > 0 ? (100 * momentum) / left : null
}

/**
 * Measured over expected that other paths would make, less 1, %: those that the geometry can list, with one change or with
 * two (a web that is threaded wrongly after the roller may be so before it too).
 */
function otherPaths(context: VerificationContext): number[] {
  const { geometry } = context
  if (geometry === null) return []
  const one = mapSides(geometry.geometry.cells, () => ({ ratio: 1, u: 0.02 }))
  const arrows = mapSides(geometry.geometry.cells, ({ arrow }) => arrow)
  const percents = pathCandidates({ path: geometry.geometry.path, arrows, measured: one })
    .filter(({ changes }) => changes.length > 0)
    .sort((a, b) => a.changes.length - b.changes.length)
    .map(({ ratio }) => {
      const ratios = entriesOf(ratio).map(([, value]) => value)
      return 100 * (ratios.reduce((sum, value) => sum + value, 0) / ratios.length - 1)
    })
    .filter((percent) => Number.isFinite(percent) && Math.abs(percent) >= LEAST_PATH_PERCENT)
  return [...new Set(percents.map((percent) => Math.round(percent * 10) / 10))].slice(0, 20)
}
