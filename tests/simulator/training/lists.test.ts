import { describe, expect, it } from 'vitest'
import { FAULT_IDS } from '../../../shared/faults.ts'
import {
  trainingActs as actsSchema,
  trainingCatalogue as catalogueSchema,
  faultList as faultListSchema,
} from '../../../shared/schemas/training.ts'
import { ACTS } from '../../../simulator/technician/registry.ts'
import { trainingActs } from '../../../simulator/training/act-list.ts'
import { faultList, trainingCatalogue } from '../../../simulator/training/catalogue.ts'
import { lookAlike } from '../../../simulator/training/look-alikes.ts'
import { proofsOf } from '../../../simulator/training/proofs.ts'
import { remediesOf, remedyList } from '../../../simulator/training/remedies.ts'
import { testOf } from '../../../simulator/training/tests.ts'

describe('lists to choose from', () => {
  it('hold every act, in the form that the contract has, each number with limits and a unit where it has one', () => {
    const acts = trainingActs()
    expect(actsSchema.parse({ acts }).acts.map(({ id }) => id)).toEqual(Object.keys(ACTS))
    const numbers = acts.flatMap(({ id, args }) =>
      args.filter(({ kind }) => kind === 'number').map((arg) => ({ id, arg })),
    )
    expect(numbers.length).toBeGreaterThan(10)
    for (const { id, arg } of numbers) {
      expect(arg.most, `${id} ${arg.name}`).not.toBeNull()
      expect(arg.unit !== null || arg.name === 'span_factor', `${id} ${arg.name}`).toBe(true)
      expect(arg.title).not.toBe(arg.name)
    }
    const argsOf = (id: string) =>
      acts.find((act) => act.id === id)?.args.map(({ name, kind, standard }) => [name, kind, standard])
    expect(argsOf('push-end')).toEqual([
      ['side', 'choice', null],
      ['newtons', 'number', 100],
      ['direction', 'direction', 'as the web pulls'],
    ])
    expect(argsOf('hang-weight')).toEqual([
      ['kg', 'number', null],
      ['at_mm', 'number', 0],
      ['path', 'rope', 'web'],
    ])
  })

  it('hold every cause as a choice, whatever is hidden, and a remedy for each', () => {
    const catalogue = catalogueSchema.parse(trainingCatalogue())
    expect(catalogue.causes.map(({ id }) => id)).toEqual(FAULT_IDS)
    const offered = new Set(remedyList().map(({ id }) => id))
    for (const id of FAULT_IDS) {
      expect(remediesOf(id).length, id).toBeGreaterThan(0)
      for (const remedy of remediesOf(id)) expect(offered).toContain(remedy)
    }
    expect(faultListSchema.parse(faultList()).faults.map(({ id }) => id)).toEqual(FAULT_IDS)
  })

  it('name a proof for each cause, of tests that there are', () => {
    for (const id of FAULT_IDS) {
      const proofs = proofsOf(id, 'operator_side')
      expect(proofs.length, id).toBeGreaterThan(0)
      for (const { tells, excludes } of proofs)
        for (const test of [tells, ...excludes]) expect(testOf(test).id).toBe(test)
    }
  })

  it('look-alikes go both ways, and every cause looks like itself', () => {
    for (const one of FAULT_IDS) {
      expect(lookAlike(one, one)).toBe(true)
      for (const other of FAULT_IDS) expect(lookAlike(one, other)).toBe(lookAlike(other, one))
    }
    expect(lookAlike('gain-one-side', 'arrows-differ')).toBe(true)
    expect(lookAlike('gain-one-side', 'mains-hum')).toBe(false)
  })
})
