import { degrees } from '../../geometry/vector.ts'
import { expectedOrNull } from '../context.ts'
import { answered, measured } from '../figure.ts'
import { notDone, resultOf } from '../result.ts'
import type { VerificationTest } from '../test.ts'

export const paperArrowTarget: VerificationTest = {
  id: 'paper.arrow-target',
  stage: 'paper',
  title: 'Angle to set the arrows to',
  proves: 'There is one angle, in words that read the same from both ends of the roller.',
  effect: 'Arrows set by eye, or mirrored at the far end, read too little or fall when the web pulls.',
  caution: null,
  steps: ['Print the set-up card on the page Geometry and take it to the machine.'],
  automatic: true,
  plan: ({ geometry }) => ({
    fields: [],
    captures: [],
    limits: [],
    notFor: geometry === null ? 'the zone has no geometry' : null,
  }),
  judge(context) {
    const expected = expectedOrNull(context)
    if (expected === null) return notDone(String(context.expected))
    const { angle, words } = expected.target
    return resultOf([
      answered({ id: 'target-told', title: `Target: ${words.sentence}` }, true, 'yes', 'the geometry of the web path'),
      measured({
        id: 'arrow-target',
        title: 'Target angle, counter-clockwise from downstream',
        value: degrees(angle),
        unit: '°',
        limit: null,
        formula: 'bisector of the wrap, or as the geometry sets it',
        source: 'plane geometry of the web path',
      }),
    ])
  },
}
