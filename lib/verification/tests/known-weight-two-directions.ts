import type { Side } from '../../../shared/sample.ts'
import { arrowFromTwoRopes } from '../../geometry/arrow-angle.ts'
import { degrees, radians } from '../../geometry/vector.ts'
import { missingCaptures, newest, sideOf, toldWith } from '../captured.ts'
import { expectedOrNull, type VerificationContext } from '../context.ts'
import { captureOf, numberField } from '../fields.ts'
import { measured, untold } from '../figure.ts'
import { listed, within } from '../limits.ts'
import { notDone, resultOf } from '../result.ts'
import type { Evidence, VerificationTest } from '../test.ts'
import { offTowardsDownstream } from './fit-arrow-angle.ts'

/** Of a rope's direction by inclinometer, ° (common practice, no source). */
const U_ROPE_DEG = 0.3
const ROPE_FIELDS = [
  numberField('arriving', 'Rope arriving, counter-clockwise from downstream', '°'),
  numberField('leaving', 'Rope leaving, counter-clockwise from downstream', '°'),
]

export const knownWeightTwoDirections: VerificationTest = {
  id: 'known-weight.two-directions',
  stage: 'known-weight',
  title: 'Two rope directions',
  proves: 'Where each arrow really points, from its own readings: neither gain nor zero matters.',
  effect: 'An arrow that was set by a wrong mark looks right to the eye.',
  caution:
    'Locked out. Hang weights only from what the roller and the frame may carry; stand clear of the load and the rope.',
  steps: [
    'Hang the same weight over the roller along two directions well apart, and tell how the rope arrives and leaves.',
  ],
  plan: ({ geometry, limits }) => ({
    fields: [],
    captures: [
      captureOf('bare', 'Bare roller', 'No rope; leave everything still.', 'still', 6),
      captureOf('first', 'First direction', 'Let it hang still.', 'still', 6, { fields: ROPE_FIELDS }),
      captureOf('second', 'Second direction', 'Let it hang still.', 'still', 6, { fields: ROPE_FIELDS }),
    ],
    limits: [listed('Arrow off its target', within(limits.arrow_deg, '°'))],
    notFor: geometry === null ? 'the zone has no geometry: there is no target' : null,
  }),
  judge(context, evidence) {
    const missing = missingCaptures(this.plan(context).captures, evidence)
    if (missing !== '') return notDone(`missing: ${missing}`)
    return resultOf(
      context.sides.map((side) => arrowOf(context, evidence, side)),
      ['Turn that cell to its target and repeat; check it with the inclinometer.'],
    )
  },
}

function arrowOf(context: VerificationContext, evidence: Evidence, side: Side) {
  const name = { id: 'arrow-from-rope', title: 'Arrow off its target, from two ropes', side }
  const limit = within(context.limits.arrow_deg, '°')
  const expected = expectedOrNull(context)
  const bare = sideOf(newest(evidence, 'bare'), side)?.electrical
  const [first, second] = (['first', 'second'] as const).map((id) => {
    const capture = newest(evidence, id)
    const reading = sideOf(capture, side)?.electrical
    const arriving = capture === undefined ? undefined : toldWith(capture, 'arriving')
    const leaving = capture === undefined ? undefined : toldWith(capture, 'leaving')
    if (reading == null || arriving === undefined || leaving === undefined) return undefined
    const rope = (deg: number) => ({ value: radians(deg), u: radians(U_ROPE_DEG) })
    return { reading, arriving: rope(arriving), leaving: rope(leaving) }
  })
  if (expected === null || bare == null || first === undefined || second === undefined)
    return untold(name, '°', 'a reading or the direction of a rope is missing', limit)
  const found = arrowFromTwoRopes(
    bare,
    { ...first, tension: { value: 1, u: 0 } },
    { ...second, tension: 'same' },
    expected.wrap.bisector,
  )
  if (!found.found) return untold(name, '°', found.sentence, limit)
  return measured({
    ...name,
    value: degrees(offTowardsDownstream(found.arrow, expected.target.angle)),
    unit: '°',
    parts: [{ name: 'readings and rope directions', contribution: degrees(found.offBisector.u) }],
    limit,
    formula: 'a·(d₁ − ρ d₂) = 0, ρ the ratio of the two responses',
    source: 'projection of two forces on one axis; offset and sensitivity cancel',
  })
}
