import type { Capture } from '../../../shared/schemas/verification.ts'
import { capturesOf, sideOf } from '../captured.ts'
import type { VerificationContext } from '../context.ts'
import { expectedAt } from '../expected-at.ts'
import { captureOf } from '../fields.ts'
import { input, measured, untold } from '../figure.ts'
import { listed, within } from '../limits.ts'
import { notDone, resultOf } from '../result.ts'
import type { VerificationTest } from '../test.ts'

export const runningNeighbour: VerificationTest = {
  id: 'running.neighbour',
  stage: 'running',
  title: 'Near core and near full',
  proves: 'The wrap that changes with the winding roll is followed.',
  effect: 'A wrong diameter or path reads right at one roll and drifts away as it grows.',
  caution: 'Guards closed, hands away from the winding roll.',
  steps: ['Take one capture soon after the core, another near the full roll, at the same set tension.'],
  plan: ({ geometry, limits }) => ({
    fields: [],
    captures: [
      captureOf('near-core', 'Near the core', 'Keep speed and tension constant.', 'steady', 30),
      captureOf('near-full', 'Near the full roll', 'Keep speed and tension constant.', 'steady', 30),
    ],
    limits: [listed('Agreement near full less near core', within(limits.core_to_full_percent, '%'))],
    notFor:
      geometry === null || geometry.geometry.moving === null ? 'no neighbour of the measuring roller moves' : null,
  }),
  judge(context, evidence) {
    const core = capturesOf(evidence, 'near-core').at(-1)
    const full = capturesOf(evidence, 'near-full').at(-1)
    if (core === undefined || full === undefined)
      return notDone('missing: a capture near the core and one near the full roll')
    const limit = within(context.limits.core_to_full_percent, '%')
    const name = { id: 'core-full-change', title: 'Agreement near full less near core' }
    const [a, b] = [ratioOf(context, core), ratioOf(context, full)]
    if (typeof a === 'string' || typeof b === 'string')
      return resultOf([untold(name, '%', typeof a === 'string' ? a : String(b), limit)])
    return resultOf(
      [
        measured({
          ...name,
          value: 100 * (b.ratio - a.ratio),
          unit: '%',
          uRandom: 100 * Math.hypot(a.u, b.u),
          // Path and tension are common to both: what is left of their uncertainty in the difference is their change.
          parts: [{ name: 'what is expected', contribution: 100 * Math.abs(b.uExpected - a.uExpected) }],
          limit,
          formula: 'measured/expected near full − measured/expected near core',
          source: 'JCGM 100, 5.2: what both share cancels',
          inputs: [input('near core', a.ratio, ''), input('near full', b.ratio, '')],
        }),
      ],
      ['Check the diameter that the channel tells against a tape, and which roller the web comes from.'],
    )
  },
}

function ratioOf(context: VerificationContext, capture: Capture) {
  const at = expectedAt(context, capture)
  if (typeof at === 'string') return at
  const sides = context.sides.map((side) => [sideOf(capture, side)?.force, at.side(side)] as const)
  if (sides.some(([force]) => force == null)) return 'a side gives no good samples'
  const expected = sides.reduce((sum, [, of]) => sum + of.value, 0)
  return {
    ratio: sides.reduce((sum, [force]) => sum + (force?.value ?? 0), 0) / expected,
    u: Math.hypot(...sides.map(([force]) => force?.u ?? 0)) / Math.abs(expected),
    uExpected: sides.reduce((sum, [, of]) => sum + of.u, 0) / Math.abs(expected),
  }
}
