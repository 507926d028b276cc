import { clearanceLeft, shaftGrowth } from '../../geometry/shaft-growth.ts'
import { missingFields, numberField, perSide, typed } from '../fields.ts'
import { input, measured } from '../figure.ts'
import { between, listed } from '../limits.ts'
import { notDone, resultOf } from '../result.ts'
import type { VerificationTest } from '../test.ts'
import { U_WARMING } from './paper-growth.ts'

/** Of a feeler gauge, mm (common practice, no source). */
const U_FEELER = 0.05
const MARGIN = { low: 0, high: null, text: 'more than 0 mm', source: 'the shaft must not push the cells' }

export const fitEndClearance: VerificationTest = {
  id: 'fit.end-clearance',
  stage: 'fit',
  title: 'End clearance, cold',
  proves: 'The shaft can grow and move endwise without touching either cell.',
  effect: 'A shaft that touches carries force past the cell: low slope, hysteresis, and an offset when warm.',
  caution: null,
  steps: [
    'Measure the gap at each end with a feeler gauge, the roller sitting where it sits: pushed to one end, the other would show both gaps.',
  ],
  asFoundAsLeft: true,
  plan: ({ sides, limits }) => ({
    fields: perSide(sides, (suffix, where, side) => [
      numberField(`clearance.${suffix}`, `Clearance${where}`, 'mm', { side }),
    ]),
    captures: [],
    limits: [
      listed('Clearance', between(limits.clearance_least_mm, limits.clearance_most_mm, 'mm')),
      listed('Left when warm', MARGIN),
    ],
    notFor: sides.length === 1 ? 'one cell: there is no second end' : null,
  }),
  judge(context, { values }) {
    const { sides, limits, geometry } = context
    const missing = missingFields(this.plan(context).fields, values)
    if (missing !== '') return notDone(`missing: ${missing}`)
    const read = sides.map((side) => typed(values, `clearance.${side}`) ?? Number.NaN)
    const parts = [{ name: 'feeler gauge', contribution: U_FEELER }]
    const figures = sides.map((side, i) =>
      measured({
        id: 'end-clearance',
        title: 'End clearance',
        side,
        value: read[i] ?? Number.NaN,
        unit: 'mm',
        parts,
        limit: between(limits.clearance_least_mm, limits.clearance_most_mm, 'mm'),
        formula: 'as measured, cold',
        source: 'feeler gauge; its standard uncertainty of 0.05 mm is assumed (common practice)',
      }),
    )
    const fit = geometry?.geometry.fit ?? null
    if (fit === null) return resultOf(figures, HINTS)
    const growth = shaftGrowth(fit.growth)
    const least = Math.min(...read)
    const perKelvin = fit.growth.length * Math.hypot(fit.growth.shaftExpansion, fit.growth.frameExpansion)
    const margin = measured({
      id: 'growth-margin',
      title: 'Clearance left when warm',
      value: 1000 * clearanceLeft({ clearance: least / 1000, shared: fit.ends.shared }, growth),
      unit: 'mm',
      parts: [...parts, { name: 'warming that is foreseen', contribution: 1000 * perKelvin * U_WARMING }],
      limit: MARGIN,
      formula: fit.ends.shared
        ? 'smaller clearance − half of the growth: both ends share it'
        : 'smaller clearance − growth: all of it goes to one end',
      source: 'linear thermal expansion of the geometry’s fit',
      inputs: [input('growth', 1000 * growth, 'mm')],
    })
    return resultOf([...figures, margin], HINTS)
  },
}

const HINTS = ['Set the floating end anew; look whether the shaft was fitted to its full length on one side.']
