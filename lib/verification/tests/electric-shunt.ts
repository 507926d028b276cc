import { missingCaptures, newest, sideOf } from '../captured.ts'
import { cellScale } from '../context.ts'
import { captureOf, missingFields, numberField, perSide, typed } from '../fields.ts'
import { input, measured, untold } from '../figure.ts'
import { listed, within } from '../limits.ts'
import { notDone, resultOf } from '../result.ts'
import type { VerificationTest } from '../test.ts'

/** Of a bridge simulator or shunt, % of its step (common practice, no source). */
const U_SIMULATOR = 0.1

export const electricShunt: VerificationTest = {
  id: 'electric.shunt',
  stage: 'electric',
  title: 'Shunt or bridge simulator',
  proves: 'Amplifier, cable and reading make of a known electrical step what they should.',
  effect:
    'A gain that is wrong here is the amplifier’s or the cable’s; one that is right here and wrong with a weight is the cell’s or the arrow’s.',
  caution: null,
  steps: [
    'Connect the simulator in place of the cell, or the shunt across it.',
    'Take the reading without its step, then with it, for each side.',
  ],
  plan: (context) => ({
    fields: perSide(context.sides, (suffix, where, side) => [
      numberField(`expected.${suffix}`, `Step it should read${where}`, cellScale(context, side).unit, {
        side,
        hint: 'from the instrument and the amplifier’s setting',
      }),
    ]),
    captures: context.sides.flatMap((side) => [
      captureOf(
        `without.${side}`,
        `Without the step${context.sides.length === 1 ? '' : `, ${side.replace('_', ' ')}`}`,
        'Leave everything still.',
        'still',
        5,
        { side },
      ),
      captureOf(
        `with.${side}`,
        `With the step${context.sides.length === 1 ? '' : `, ${side.replace('_', ' ')}`}`,
        'Leave everything still.',
        'still',
        5,
        { side },
      ),
    ]),
    limits: [listed('Step against what it should read', within(context.limits.shunt_percent, '%'))],
    notFor: null,
  }),
  judge(context, evidence) {
    const plan = this.plan(context)
    const missing = [missingFields(plan.fields, evidence.values), missingCaptures(plan.captures, evidence)].filter(
      (m) => m !== '',
    )
    if (missing.length > 0) return notDone(`missing: ${missing.join('; ')}`)
    const limit = within(context.limits.shunt_percent, '%')
    return resultOf(
      context.sides.map((side) => {
        const name = { id: 'shunt-error', title: 'Step off what it should read', side }
        const before = sideOf(newest(evidence, `without.${side}`), side)?.electrical
        const after = sideOf(newest(evidence, `with.${side}`), side)?.electrical
        const expected = typed(evidence.values, `expected.${side}`) ?? Number.NaN
        if (before == null || after == null) return untold(name, '%', 'no good samples of this side', limit)
        const step = after.value - before.value
        const { unit } = cellScale(context, side)
        return measured({
          ...name,
          value: (100 * (step - expected)) / expected,
          unit: '%',
          uRandom: (100 * Math.hypot(before.u, after.u)) / Math.abs(expected),
          parts: [{ name: 'simulator or shunt', contribution: U_SIMULATOR }],
          limit,
          formula: '(step read − step it should read) / step it should read',
          source: 'the instrument’s certificate; its standard uncertainty of 0.1 % is assumed (common practice)',
          inputs: [input('step read', step, unit), input('should read', expected, unit)],
        })
      }),
      ['Check the amplifier’s sensitivity, the excitation and the cable of that side.'],
    )
  },
}
