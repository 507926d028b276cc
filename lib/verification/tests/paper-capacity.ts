import { TOO_LARGE_UNDER } from '../../geometry/capacity.ts'
import { entriesOf } from '../../geometry/sided.ts'
import { expectedOrNull } from '../context.ts'
import { answered, input, measured } from '../figure.ts'
import { notDone, resultOf } from '../result.ts'
import type { VerificationTest } from '../test.ts'

const CP = 'common practice, no source'
const MOST = { low: null, high: 100, text: 'at most 100 % of rated capacity', source: 'rated capacity of the cell' }
const LEAST = {
  low: 100 * TOO_LARGE_UNDER,
  high: null,
  text: `at least ${100 * TOO_LARGE_UNDER} % of rated capacity`,
  source: CP,
}

export const paperCapacity: VerificationTest = {
  id: 'paper.capacity',
  stage: 'paper',
  title: 'Capacity of the cells',
  proves:
    'No case from bare roller to overload exceeds a cell or its output, and the smallest tension uses enough of it.',
  effect: 'Too small a cell is overloaded for good; too large a one shows little but its own noise and drift.',
  caution: null,
  steps: [],
  automatic: true,
  plan: ({ geometry }) => ({
    fields: [],
    captures: [],
    limits: [MOST, LEAST].map(({ text, source }) => ({ text, source })),
    notFor: geometry === null ? 'the zone has no geometry' : null,
  }),
  judge(context) {
    const expected = expectedOrNull(context)
    if (expected === null) return notDone(String(context.expected))
    const figures = entriesOf(expected.sides).flatMap(([side, { capacity, smallestUse }]) => {
      const [first, ...rest] = capacity
      if (first === undefined) return []
      const worst = rest.reduce((most, one) => (one.ofCapacity > most.ofCapacity ? one : most), first)
      const common = { unit: '%', side, source: 'forces of the geometry in each case', parts: [] }
      return [
        measured({
          ...common,
          id: 'largest-load',
          title: `Largest load (${worst.name})`,
          value: 100 * worst.ofCapacity,
          limit: MOST,
          formula: '|force along the arrow with the roller’s weight| / rated capacity, the worst of all cases',
          inputs: [input('force', worst.force, 'N')],
        }),
        measured({
          ...common,
          id: 'smallest-use',
          title: 'Smallest web force',
          value: 100 * smallestUse,
          limit: LEAST,
          formula: 'web force at the smallest tension and fastest speed / rated capacity',
        }),
        ...(context.geometry?.tellsSignal === true
          ? [
              answered(
                { id: 'output-fits', title: 'The output can say every case', side },
                capacity.every(({ output }) => output === 'fits'),
                'yes',
                'ends of the output (NAMUR NE 43 for 4–20 mA)',
              ),
            ]
          : []),
      ]
    })
    return resultOf(figures, [
      'Over capacity: a larger cell, or less tension. Too little used: a smaller cell, or more wrap.',
    ])
  },
}
