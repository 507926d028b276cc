import { clearanceLeft, shaftGrowth } from '../../geometry/shaft-growth.ts'
import { input, measured } from '../figure.ts'
import { notDone, resultOf } from '../result.ts'
import type { VerificationTest } from '../test.ts'

const LIMIT = { low: 0, high: null, text: 'more than 0 mm', source: 'the shaft must not push the cells' }
/** Of the warming that is foreseen, K (common practice, no source). */
export const U_WARMING = 3

export const paperGrowth: VerificationTest = {
  id: 'paper.growth',
  stage: 'paper',
  title: 'Growth of the shaft against the clearance',
  proves: 'The clearance of one end is more than what the shaft grows when the machine is warm.',
  effect: 'A shaft that has grown into its clearance pushes both cells sideways: an offset that follows temperature.',
  caution: null,
  steps: [],
  automatic: true,
  plan: ({ geometry, sides }) => ({
    fields: [],
    captures: [],
    limits: [{ text: LIMIT.text, source: LIMIT.source }],
    notFor:
      sides.length === 1
        ? 'one cell: the shaft has no second end to push against'
        : geometry === null
          ? 'the zone has no geometry'
          : null,
  }),
  judge({ geometry }) {
    const fit = geometry?.geometry.fit ?? null
    if (fit === null) return notDone('the geometry says nothing of clearance and expansion (geometry: fit)')
    const growth = shaftGrowth(fit.growth)
    const perKelvin = fit.growth.length * Math.hypot(fit.growth.shaftExpansion, fit.growth.frameExpansion)
    return resultOf(
      [
        measured({
          id: 'growth-margin',
          title: 'Clearance left when warm',
          value: 1000 * clearanceLeft(fit.ends, growth),
          unit: 'mm',
          limit: LIMIT,
          parts: [{ name: 'warming that is foreseen', contribution: 1000 * perKelvin * U_WARMING }],
          formula: 'clearance − L (α_shaft ΔT_shaft − α_frame ΔT_frame)',
          source: 'linear thermal expansion',
          inputs: [input('clearance', 1000 * fit.ends.clearance, 'mm'), input('growth', 1000 * growth, 'mm')],
        }),
      ],
      ['More clearance at the end that floats, or a fit that shares the growth between both ends.'],
    )
  },
}
