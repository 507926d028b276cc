import { describe, expect, it } from 'vitest'
import { EMPTY } from '../../../app/verification/_model/draft-store.ts'
import { nextValues, valuesOf, wrongNumbers } from '../../../app/verification/_model/typed-values.ts'
import type { PlanField } from '../../../shared/schemas/verification/plan.ts'

const cycle: PlanField = {
  id: 'cycle',
  label: 'Cycle',
  kind: 'number',
  unit: '',
  side: null,
  required: true,
  hint: null,
  preset: 1,
}

describe('what the plan fills in', () => {
  it('counts while it stands in the field', () => {
    expect(valuesOf({ fields: [cycle] }, EMPTY)).toEqual({ cycle: 1 })
    expect(nextValues({ id: 'point', fields: [cycle] }, EMPTY)).toEqual({ cycle: 1 })
  })

  it.each(['', 'two'])('does not count once “%s” stands there instead', (text) => {
    expect(valuesOf({ fields: [cycle] }, { ...EMPTY, typed: { cycle: text } })).toEqual({})
    expect(nextValues({ id: 'point', fields: [cycle] }, { ...EMPTY, typed: { 'point.cycle': text } })).toEqual({})
  })

  it('gives way to what was typed', () => {
    const draft = { ...EMPTY, typed: { 'point.cycle': '2' }, next: { point: { cycle: 2 } } }
    expect(nextValues({ id: 'point', fields: [cycle] }, draft)).toEqual({ cycle: 2 })
  })
})

describe('a number field that holds no number', () => {
  it('is named; an empty one is only missing', () => {
    expect(wrongNumbers([cycle], { cycle: '2,2 mm' })).toEqual([cycle])
    expect(wrongNumbers([cycle], { 'point.cycle': 'two' }, 'point.')).toEqual([cycle])
    for (const typed of [{}, { cycle: ' ' }, { cycle: '2,2' }]) expect(wrongNumbers([cycle], typed)).toEqual([])
  })
})
