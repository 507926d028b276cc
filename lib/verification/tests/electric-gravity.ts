import type { Side } from '../../../shared/sample.ts'
import { USELESS_OVER, VERTICAL_WITHIN } from '../../geometry/arrow-angle.ts'
import { propagateExpected } from '../../geometry/expected-uncertainty.ts'
import { givenAt } from '../../geometry/from-config.ts'
import { ofSide } from '../../geometry/sided.ts'
import { degrees, signedAngle } from '../../geometry/vector.ts'
import { missingCaptures, newest, sideOf } from '../captured.ts'
import { cellScale, expectedOrNull, paperState, spanOfSide, type VerificationContext } from '../context.ts'
import { captureOf } from '../fields.ts'
import { input, measured, untold } from '../figure.ts'
import { listed, within } from '../limits.ts'
import { notDone, resultOf } from '../result.ts'
import type { Evidence, VerificationTest } from '../test.ts'
import { offTowardsDownstream } from './fit-arrow-angle.ts'

export const electricGravity: VerificationTest = {
  id: 'electric.gravity',
  stage: 'electric',
  title: 'Bare roller against its weight',
  proves: 'The weight of the roller shows on each arrow as the geometry predicts.',
  effect:
    'A side that feels too little or too much of it has its arrow off, its gain wrong, or something else carries the roller.',
  caution: 'Lift the roller by its sling only, locked out, with nobody under it.',
  steps: [
    'With the roller lifted off the cells (or before it is set down), take the reading without load.',
    'Set it down on both cells and take the reading again.',
  ],
  asFoundAsLeft: true,
  plan: ({ geometry, limits }) => ({
    fields: [],
    captures: [
      captureOf('no-load', 'Without load', 'Roller lifted off the cells; leave everything still.', 'still', 6),
      captureOf('roller-on', 'Roller set down', 'Roller on both cells, no web; leave everything still.', 'still', 6),
    ],
    limits: [
      listed('Weight component against the predicted one', within(limits.weight_percent, '% of span')),
      listed('Arrow found this way, off its target', within(limits.arrow_deg, '°')),
    ],
    notFor: geometry === null ? 'the zone has no geometry: no weight component is predicted' : null,
  }),
  judge(context, evidence) {
    const missing = missingCaptures(this.plan(context).captures, evidence)
    if (missing !== '') return notDone(`missing: ${missing}`)
    if (expectedOrNull(context) === null) return notDone(String(context.expected))
    return resultOf(
      context.sides.flatMap((side) => sideFigures(context, evidence, side)),
      [
        'Read the arrow with the inclinometer; then the gain by a known weight; then look for what else touches roller or shaft.',
      ],
    )
  },
}

function sideFigures(context: VerificationContext, evidence: Evidence, side: Side) {
  const { geometry, zone, limits } = context
  const expected = expectedOrNull(context)
  const none = sideOf(newest(evidence, 'no-load'), side)?.electrical ?? null
  const on = sideOf(newest(evidence, 'roller-on'), side)?.electrical ?? null
  const weightName = { id: 'weight-component', title: 'Weight component, measured less predicted', side }
  const arrowName = { id: 'arrow-from-gravity', title: 'Arrow off its target, from gravity', side }
  const weightLimit = within(limits.weight_percent, '% of span')
  if (geometry === null || expected === null || none === null || on === null)
    return [untold(weightName, '%', 'no good samples of this side in both readings', weightLimit)]
  const scale = cellScale(context, side)
  const span = spanOfSide(context, side)
  const response = (on.value - none.value) * scale.gainN
  const uReading = Math.hypot(on.u, none.u) * Math.abs(scale.gainN)
  const state = paperState(zone, geometry)
  const figures = propagateExpected({
    geometry: geometry.geometry,
    state,
    given: givenAt(geometry, state.tension),
    correlations: [],
  })
  const predicted = ofSide(figures.sides, side).bareForce
  const gainPart = Math.abs(response) * scale.gainU
  const { bareForce, weightShare, arrow } = ofSide(expected.sides, side)
  const full = weightShare * geometry.geometry.roller.mass * geometry.geometry.gravity
  const inputs = [
    input('measured', response, 'N'),
    input('predicted', bareForce, 'N', predicted.u),
    input('span', span, 'N'),
  ]
  const weight = measured({
    ...weightName,
    value: (100 * (response - bareForce)) / span,
    unit: '%',
    uRandom: (100 * uReading) / span,
    parts: [
      { name: 'gain of the channel', contribution: (100 * gainPart) / span },
      { name: 'predicted weight component', contribution: (100 * predicted.u) / span },
    ],
    limit: weightLimit,
    formula: 'gain × (roller on − no load) − share · M g · (arrow · down), % of span',
    source: 'projection of weight on the arrow; the cell’s own zero balance cancels in the difference',
    inputs,
  })
  return [weight, arrowFigure(), ...zeroBalance(context, side, none)]

  function arrowFigure() {
    const limit = within(limits.arrow_deg, '°')
    // cos of the angle between the arrow and straight down; which of its two angles is told by the target.
    const uMass = geometry === null ? 0 : geometry.uncertainties.mass
    const beyond = 2 * Math.hypot(uReading / full, gainPart / full, (Math.abs(response) / full) * uMass)
    const told = response / full
    // Just over 1 is an arrow along the weight, within what is known of it.
    const cosine = Math.abs(told) <= 1 + beyond ? Math.min(1, Math.max(-1, told)) : told
    const target = expected?.target.angle ?? arrow
    if (!(Math.abs(cosine) <= 1))
      return untold(arrowName, '°', 'more force than the roller weighs: look at the gain and at what else pulls', limit)
    const fromDown = Math.acos(cosine)
    const steep = Math.abs(Math.sin(fromDown))
    if (steep < Math.sin(VERTICAL_WITHIN))
      return untold(
        arrowName,
        '°',
        'it cannot be found this way: so near the vertical the weight says nothing about the arrow',
        null,
      )
    const candidates = [-Math.PI / 2 + fromDown, -Math.PI / 2 - fromDown]
    const found = candidates.reduce((best, one) =>
      Math.abs(signedAngle(one - target)) < Math.abs(signedAngle(best - target)) ? one : best,
    )
    const perNewton = 1 / (full * steep)
    const parts = [
      { name: 'gain of the channel', contribution: degrees(gainPart * perNewton) },
      { name: 'mass of the roller', contribution: degrees(Math.abs(response) * uMass * perNewton) },
    ]
    const uRandom = degrees(uReading * perNewton)
    if (Math.hypot(uRandom, ...parts.map(({ contribution }) => contribution)) > degrees(USELESS_OVER))
      return untold(
        arrowName,
        '°',
        'it cannot be found this way well enough: use the inclinometer or two rope directions',
        null,
      )
    return measured({
      ...arrowName,
      value: degrees(offTowardsDownstream(found, target)),
      unit: '°',
      uRandom,
      parts,
      limit,
      formula: 'arccos(measured / (share · M g)), the branch nearer the target; gain taken as in the config',
      source: 'projection of weight on the arrow',
      inputs,
    })
  }
}

/** The unloaded cell against its certificate, where the output is a bridge that the channel reads in mV/V. */
function zeroBalance(context: VerificationContext, side: Side, none: { readonly value: number; readonly u: number }) {
  const cells = context.geometry?.geometry.cells
  if (cells === undefined || context.geometry?.tellsSignal !== true) return []
  const { chain } = ofSide(cells, side)
  if (chain.kind !== 'mV/V' || cellScale(context, side).unit !== 'mV/V') return []
  return [
    measured({
      id: 'zero-balance',
      title: 'Unloaded cell off its certificate',
      side,
      value: (100 * (none.value - chain.zeroBalance)) / chain.ratedOutput,
      unit: '%',
      uRandom: (100 * none.u) / chain.ratedOutput,
      limit: within(context.limits.zero_balance_percent, '% of rated output'),
      formula: '(no-load reading − zero balance by certificate) / rated output',
      source: 'certificate of the cell',
      inputs: [input('no load', none.value, 'mV/V', none.u), input('certificate', chain.zeroBalance, 'mV/V')],
    }),
  ]
}
