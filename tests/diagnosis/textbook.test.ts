import { describe, expect, it } from 'vitest'
import { rank } from '../../lib/diagnosis/diagnose.ts'
import { FAULT_IDS, ONE_SIDED_FAULTS } from '../../shared/faults.ts'
import { CONTEXT, PICTURES } from './support/pictures.ts'

describe('each cause is first for the picture that the fault table draws of it', () => {
  it.each(FAULT_IDS)('%s', (id) => {
    const { ranked, leader } = rank({ features: [...PICTURES[id]], context: CONTEXT })
    const told = ranked
      .slice(0, 4)
      .map(({ hypothesis: { id, side }, probability }) => `${id} ${side} ${probability.toFixed(3)}`)
    expect(ranked[0]?.hypothesis.id, told.join('; ')).toBe(id)
    expect(leader.members[0]?.hypothesis.id).toBe(id)
    if (ONE_SIDED_FAULTS.has(id)) expect(ranked[0]?.hypothesis.side, told.join('; ')).toBe('operator_side')
  })
})
