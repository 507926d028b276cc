import { shaftGrowth } from '../../geometry/shaft-growth.ts'
import { missingFields, numberField, perSide, typed } from '../fields.ts'
import { input, measured } from '../figure.ts'
import { between, listed } from '../limits.ts'
import { notDone, resultOf } from '../result.ts'
import type { VerificationTest } from '../test.ts'

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
  steps: ['Push the shaft to one end, measure the gap at the other with a feeler gauge; then the other way round.'],
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
    const growth = 1000 * shaftGrowth(fit.growth)
    const least = Math.min(...read)
    const margin = measured({
      id: 'growth-margin',
      title: 'Clearance left when warm',
      value: fit.ends.shared ? (read[0] ?? 0) + (read[1] ?? 0) - growth : least - growth,
      unit: 'mm',
      parts,
      limit: MARGIN,
      formula: fit.ends.shared ? 'both clearances − growth' : 'smaller clearance − growth: all of it goes to one end',
      source: 'linear thermal expansion of the geometry’s fit',
      inputs: [input('growth', growth, 'mm')],
    })
    return resultOf([...figures, margin], HINTS)
  },
}

const HINTS = ['Set the floating end anew; look whether the shaft was fitted to its full length on one side.']
