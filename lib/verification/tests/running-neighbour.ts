import type { Capture } from '../../../shared/schemas/verification/capture.ts'
import { rangeOf } from '../../geometry/neighbour.ts'
import { capturesOf, sideOf } from '../captured.ts'
import type { VerificationContext } from '../context.ts'
import { expectedAt, toldFields } from '../expected-at.ts'
import { captureOf } from '../fields.ts'
import { input, measured, untold } from '../figure.ts'
import { listed, within } from '../limits.ts'
import { notDone, resultOf } from '../result.ts'
import type { VerificationTest } from '../test.ts'

const STEADY = 'Keep speed and tension constant.'

export const runningNeighbour: VerificationTest = {
  id: 'running.neighbour',
  stage: 'running',
  title: 'Near core and near full',
  proves: 'The wrap that changes with the winding roll is followed.',
  effect: 'A wrong diameter or path reads right at one roll and drifts away as it grows.',
  caution: 'Guards closed, hands away from the winding roll.',
  steps: ['Take one capture soon after the core, another near the full roll, at the same set tension.'],
  plan: (context) => ({
    fields: [],
    captures: [
      captureOf('near-core', 'Near the core', STEADY, 'steady', 30, { fields: toldFields(context) }),
      captureOf('near-full', 'Near the full roll', STEADY, 'steady', 30, { fields: toldFields(context) }),
    ],
    limits: [listed('Agreement near full less near core', within(context.limits.core_to_full_percent, '%'))],
    notFor:
      context.geometry === null || context.geometry.geometry.moving === null
        ? 'no neighbour of the measuring roller moves'
        : null,
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
    if (!isFarApart(context, a.place, b.place))
      return notDone('missing: two captures between which the neighbour moved by half of its range or more')
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
  const expected = at.total.value
  return {
    place: at.neighbour ?? Number.NaN,
    ratio: sides.reduce((sum, [force]) => sum + (force?.value ?? 0), 0) / expected,
    u: Math.hypot(...sides.map(([force]) => force?.u ?? 0)) / Math.abs(expected),
    uExpected: at.total.u / Math.abs(expected),
  }
}

/** Between places nearer than half of what the neighbour moves little would show (common practice, no source). */
function isFarApart({ geometry }: VerificationContext, a: number, b: number): boolean {
  const moving = geometry?.geometry.moving
  if (moving === null || moving === undefined) return false
  const [from, to] = rangeOf(moving)
  return Math.abs(b - a) >= 0.5 * Math.abs(to - from)
}
