import type { Side } from '../../../shared/sample.ts'
import type { RecordFigure } from '../../../shared/schemas/verification/result.ts'
import { trioOf } from '../../geometry/description.ts'
import { pathCandidates } from '../../geometry/path-candidates.ts'
import { mapSides, type Sided } from '../../geometry/sided.ts'
import { sideOf } from '../captured.ts'
import { cellScale, type VerificationContext } from '../context.ts'
import { input, measured } from '../figure.ts'
import type { RunningPoint } from './running-point.ts'

/** A ratio of measured to expected that the path as drawn does not make, and the other path that would make it best. */
export function otherPath(
  context: VerificationContext,
  points: readonly RunningPoint[],
): { readonly figures: readonly RecordFigure[]; readonly hints: readonly string[] } {
  const none = { figures: [], hints: [] }
  const { geometry: configured } = context
  const ratios = context.sides.map((side) => [side, ratioOver(context, points, side)] as const)
  if (configured === null || ratios.some(([, ratio]) => ratio === undefined)) return none
  const { path, cells } = configured.geometry
  const first = points.flatMap(({ at }) => (typeof at === 'string' ? [] : [at]))[0]
  const { before, after } = trioOf(configured.geometry, first?.neighbour ?? null)
  const candidates = pathCandidates({
    path: { ...path, before: [...path.before.slice(0, -1), before], after: [after, ...path.after.slice(1)] },
    arrows: mapSides(cells, ({ arrow }) => arrow),
    measured: Object.fromEntries(ratios) as Sided<{ ratio: number; u: number }>,
  })
  const drawn = candidates.find(({ changes }) => changes.length === 0)
  const other = candidates.find(({ changes }) => changes.length > 0)
  if (other === undefined || !Number.isFinite(other.misfit)) return none
  const speaks = drawn?.explains === false && other.explains
  return {
    figures: [
      measured({
        id: 'best-path-misfit',
        title: `Best other path (${other.words}): misfit in standard uncertainties`,
        value: other.misfit,
        unit: '',
        limit: null,
        formula:
          'largest |measured ratio − ratio of that path| / u over the sides; at most 2 does not speak against it',
        source: 'F′/F = a·pull′/a·pull of the other path; momentum cancels',
        inputs: [input('misfit as drawn', drawn?.misfit ?? null, '')],
      }),
    ],
    hints: speaks ? [`The ratio is that of another path: ${other.words}. Look at the web path.`] : [],
  }
}

/** Measured over expected of a side, mean over the points; known no better than one of them. */
function ratioOver(context: VerificationContext, points: readonly RunningPoint[], side: Side) {
  const each = points.flatMap(({ capture, at }) => {
    const force = sideOf(capture, side)?.force
    if (force == null || typeof at === 'string') return []
    const expected = at.side(side)
    const { gainU, zeroUN } = cellScale(context, side)
    const u = Math.hypot(force.u, force.value * gainU, zeroUN, expected.u) / Math.abs(expected.value)
    return [{ ratio: force.value / expected.value, u }]
  })
  if (each.length === 0) return undefined
  const mean = (of: (one: { ratio: number; u: number }) => number) =>
    each.reduce((sum, one) => sum + of(one), 0) / each.length
  return { ratio: mean(({ ratio }) => ratio), u: mean(({ u }) => u) }
}
