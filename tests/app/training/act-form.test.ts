import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { fieldOf, filledForm, IN_DEGREES, limitsInWords } from '../../../app/training/_model/act-form.ts'
import type { ActArgument, TrainingAct } from '../../../shared/schemas/training.ts'

const argument = (part: Partial<ActArgument>): ActArgument => ({
  name: 'newtons',
  title: 'Force',
  kind: 'number',
  unit: 'N',
  least: 0,
  most: 2000,
  choices: [],
  required: true,
  standard: null,
  ...part,
})
const actOf = (...args: ActArgument[]): TrainingAct => ({
  id: 'push-end',
  title: 'Push',
  group: 'loads',
  seconds: 20,
  caution: null,
  needs: {},
  args,
})
const NEWTONS = fieldOf('push-end', 'newtons')

describe('a number of an act', () => {
  it('is sent as typed, with a comma too; outside its limits it is refused with them', () => {
    const act = actOf(argument({}))
    expect(filledForm(act, { [NEWTONS]: '80,5' })).toEqual({ args: { newtons: 80.5 }, faults: {} })
    expect(filledForm(act, { [NEWTONS]: '2001' }).faults).toEqual({ [NEWTONS]: 'from 0 to 2000\u00a0N' })
    expect(filledForm(act, { [NEWTONS]: '8o' }).faults).toEqual({ [NEWTONS]: 'This is not a number.' })
  })

  it('is never sent outside its limits, whatever they are', () => {
    fc.assert(
      fc.property(
        fc.double({ noNaN: true, noDefaultInfinity: true }),
        fc.integer({ min: -1000, max: 1000 }),
        fc.nat(1000),
        (typed, least, span) => {
          const act = actOf(argument({ least, most: least + span }))
          const { args, faults } = filledForm(act, { [NEWTONS]: String(typed) })
          const isInside = typed >= least && typed <= least + span
          expect('newtons' in args).toBe(isInside)
          expect(NEWTONS in faults).toBe(!isInside)
        },
      ),
    )
  })

  it('left out is asked for when it is needed, else left out or taken as its standard', () => {
    expect(filledForm(actOf(argument({})), {}).faults).toEqual({ [NEWTONS]: 'type a number' })
    expect(filledForm(actOf(argument({ required: false })), {})).toEqual({ args: {}, faults: {} })
    expect(filledForm(actOf(argument({ required: false, standard: 100 })), {}).args).toEqual({ newtons: 100 })
  })
})

describe('a choice, a direction and a rope', () => {
  const side = argument({
    name: 'side',
    kind: 'choice',
    choices: [
      { value: 'drive_side', title: 'drive side' },
      { value: 'operator_side', title: 'operator side' },
    ],
  })
  const direction = argument({
    name: 'direction',
    kind: 'direction',
    unit: null,
    least: -360,
    most: 360,
    choices: [{ value: 'as the web pulls', title: 'as the web pulls' }],
    standard: 'as the web pulls',
  })
  const rope = argument({ name: 'path', kind: 'rope', unit: null, least: null, most: null, standard: 'web' })

  it('a side that nobody chose is asked for, not taken', () => {
    expect(filledForm(actOf(side), {}).faults).toEqual({ 'push-end.side': 'choose one' })
    expect(filledForm(actOf(side), { 'push-end.side': 'drive_side' }).args).toEqual({ side: 'drive_side' })
  })

  it('a direction is its words, or degrees as a number', () => {
    expect(filledForm(actOf(direction), {}).args).toEqual({ direction: 'as the web pulls' })
    const typed = { 'push-end.direction': IN_DEGREES, 'push-end.direction.deg': '−45' }
    expect(filledForm(actOf(direction), typed).args).toEqual({ direction: -45 })
    expect(filledForm(actOf(direction), { 'push-end.direction': IN_DEGREES }).faults).toEqual({
      'push-end.direction.deg': 'type a number',
    })
  })

  it('a rope is the web’s way, or both of its ends in degrees', () => {
    expect(filledForm(actOf(rope), {}).args).toEqual({ path: 'web' })
    const typed = {
      'push-end.path': IN_DEGREES,
      'push-end.path.arriving_deg': '90',
      'push-end.path.leaving_deg': '-90',
    }
    expect(filledForm(actOf(rope), typed).args).toEqual({ path: { arriving_deg: 90, leaving_deg: -90 } })
  })
})

it('limits are told as far as there are some', () => {
  expect(limitsInWords({ unit: 'mm', least: 0, most: null })).toBe('at least 0\u00a0mm')
  expect(limitsInWords({ unit: null, least: null, most: 3 })).toBe('at most 3')
  expect(limitsInWords({ unit: 'N', least: null, most: null })).toBe('')
})
