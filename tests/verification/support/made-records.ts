import type { VerificationContext } from '../../../lib/verification/context.ts'
import { planOf } from '../../../lib/verification/plan.ts'
import type { Side } from '../../../shared/sample.ts'
import type { Capture } from '../../../shared/schemas/verification/capture.ts'
import type { PlanCapture, PlanField, PlanTest } from '../../../shared/schemas/verification/plan.ts'
import type { TestId } from '../../../shared/schemas/verification/test-ids.ts'
import type { TestPhase, TestValues, VerificationRecord } from '../../../shared/schemas/verification.ts'
import { cantilever } from './made-context.ts'
import { captured, contextOf, type Made, recordOf, resultEntry } from './made-record.ts'

/** Records as they come to a reader of reports: whole, empty, long, hostile, of one cell, with as many captures as an entry takes. */
export const HOSTILE = `<script>document.title='run'</script><img src=x onerror=alert(1)>"'&\u202e</style>`
const LONG =
  'Measuring roller before the winder of the third coating line, drive side behind the guard, operator side at the aisle'
/** A picture of one point. */
export const PNG = Buffer.from(
  'iVBORw0KGgoAAAANSUhEUgAAAAEAAAABCAYAAAAfFcSJAAAADUlEQVR42mNk+M9QDwADhgGAWjR9awAAAABJRU5ErkJggg==',
  'base64',
)
export const PHOTO = 'c'.repeat(64)

const install = contextOf('install')
const G = 9.81

function typedFor({ kind, preset, choices }: PlanField): number | string | boolean {
  if (preset !== undefined) return preset
  if (kind === 'yes-no') return true
  if (kind === 'choice') return choices?.[0]?.value ?? ''
  return kind === 'number' ? 1 : 'as on the drawing'
}

const typedIn = (fields: readonly PlanField[]): TestValues =>
  Object.fromEntries(fields.map((field) => [field.id, typedFor(field)]))

const onEach = (context: VerificationContext, force: (side: Side, i: number) => number) =>
  Object.fromEntries(context.sides.map((side, i) => [side, { force: force(side, i) }]))

/** Weights up and down over three cycles, with a little bend and hysteresis. */
function weights(context: VerificationContext, count = 27): Capture[] {
  const steps = [0, 5, 10, 15, 20, 15, 10, 5, 0]
  return Array.from({ length: count }, (_, i) => {
    const mass = steps[i % steps.length] ?? 0
    const isDown = i % steps.length > 4
    const force = (_side: Side, at: number) =>
      mass * G * (0.7 + 0.002 * at) + (isDown ? 0.12 : 0) + 0.0004 * mass * mass
    return captured(context, 'point', onEach(context, force), {
      values: { mass, direction: isDown ? 'down' : 'up', cycle: 1 + Math.floor(i / steps.length) },
    })
  })
}

/** Two tensions at two speeds. */
function points(context: VerificationContext): Capture[] {
  return [
    [150, 1],
    [150, 3],
    [300, 1],
    [300, 3],
  ].map(([tension = 0, speed = 0]) =>
    captured(
      context,
      'point',
      onEach(context, (_, i) => tension * (0.77 + 0.01 * i)),
      {
        reference: { value: tension, u: 0.1 },
        speed: { value: speed, u: 0.001 },
        imbalance: { value: 0.6, u: 0.1 },
        total: { value: tension, u: 0.3 },
      },
    ),
  )
}

function capturesFor(context: VerificationContext, test: PlanTest): Capture[] {
  if (test.id === 'known-weight.series') return weights(context)
  if (test.id === 'running.points') return points(context)
  return test.captures.flatMap((capture) => Array.from({ length: capture.times }, (_, i) => oneOf(context, capture, i)))
}

const oneOf = (context: VerificationContext, { id, fields }: PlanCapture, nth: number): Capture =>
  captured(
    context,
    id,
    onEach(context, (_, i) => 40 + 5 * nth + i),
    {
      values: typedIn(fields),
      speed: { value: 1 + nth, u: 0.001 },
      reference: { value: 200, u: 0.5 },
    },
  )

/** Every test of a zone done as well as a filler of forms does it. */
export function everyTest(context: VerificationContext, phase: TestPhase = 'as-left'): Made[] {
  const tests = planOf(context).stages.flatMap((stage) => stage.tests)
  return tests
    .filter(({ applies }) => applies)
    .map((test) => resultEntry(context, test.id as TestId, typedIn(test.fields), capturesFor(context, test), phase))
}

const runoutFoundAndLeft = (context: VerificationContext): Made[] => [
  resultEntry(context, 'fit.runout', { runout: 0.09 }, [], 'as-found'),
  resultEntry(context, 'fit.runout', { runout: 0.02 }, [], 'as-left', 2),
]

const photo = (test: TestId | null, caption: string): Made => ({
  kind: 'photo',
  test,
  caption,
  mediaType: 'image/png',
  bytes: PNG.length,
  sha256: PHOTO,
})

interface MadeRecord {
  readonly title: string
  readonly make: () => VerificationRecord
}

const MADE_RECORDS: readonly MadeRecord[] = [
  {
    title: 'whole',
    make: () =>
      recordOf(install, 'New cells at the infeed', [
        ...runoutFoundAndLeft(install),
        ...everyTest(install),
        photo('fit.runout', 'Dial at mid-span'),
        { kind: 'note', test: 'fit.runout', text: 'The dial stood on the shell, not on the rubber.' },
        { kind: 'correction', of: 1, text: 'It was 0.08: the dial was read from the wrong side.' },
        { kind: 'signature', name: 'A. Fitter' },
      ]),
  },
  { title: 'nothing done', make: () => recordOf(install, 'Begun and left', []) },
  {
    title: 'refused throughout',
    make: () =>
      recordOf(
        install,
        'Nothing could be done',
        planOf(install)
          .stages.flatMap((stage) => stage.tests)
          .map(({ id, title }, i) => ({
            kind: 'not-done' as const,
            test: id,
            title,
            reason: `${i}: the machine was wanted for production and nobody could lock it out`,
          })),
      ),
  },
  {
    title: 'long names',
    make: () => {
      const named = contextOf('install', undefined, (text) =>
        text.replace(/^plant: .*$/m, `plant: ${LONG.slice(0, 80)}`),
      )
      return recordOf(
        { ...named, zone: { ...named.zone, name: LONG.slice(0, 80) } },
        `${LONG}${LONG.replaceAll(' ', '')}`.slice(0, 120),
        [
          ...runoutFoundAndLeft(named),
          { kind: 'note', test: null, text: 'a note that goes on '.repeat(95) },
          { kind: 'note', test: 'fit.runout', text: 'w'.repeat(1900) },
        ],
        LONG.slice(0, 80),
      )
    },
  },
  {
    title: 'sixty captures',
    make: () =>
      recordOf(install, 'Sixty', [
        resultEntry(install, 'known-weight.series', { 'rope-mm': 4 }, weights(install, 60), 'as-left'),
      ]),
  },
  {
    title: 'hostile text',
    make: () =>
      recordOf(
        install,
        `New cells ${HOSTILE}`,
        [
          resultEntry(install, 'fit.runout', { runout: 0.09, [HOSTILE.slice(0, 40)]: HOSTILE }),
          photo('fit.runout', `Dial ${HOSTILE}`),
          { kind: 'not-done', test: 'fit.level', title: HOSTILE, reason: `no level at hand ${HOSTILE}` },
          { kind: 'note', test: null, text: HOSTILE },
          { kind: 'correction', of: 1, text: HOSTILE },
          { kind: 'signature', name: HOSTILE.slice(0, 80) },
        ],
        HOSTILE.slice(0, 60),
      ),
  },
  {
    // As much as a first page can have to hold.
    title: 'refused under long names',
    make: () => {
      const base = recordNamed('refused throughout')
      const long = recordNamed('long names')
      const signature: Made = { kind: 'signature', name: LONG.slice(0, 80) }
      const made = recordOf(install, long.head.title, [...base.entries, signature], LONG.slice(0, 60))
      const { title, zoneName, plant } = long.head
      return { ...made, head: { ...made.head, title, zoneName, plant, line: plant } }
    },
  },
  { title: 'one cell', make: () => recordOf(cantilever(), 'Cantilever', everyTest(cantilever())) },
]

export const RECORD_TITLES: readonly string[] = MADE_RECORDS.map(({ title }) => title)
const made = new Map<string, VerificationRecord>()

/** Made once: nobody changes a record. */
export function recordNamed(title: string): VerificationRecord {
  const known = made.get(title) ?? MADE_RECORDS.find((one) => one.title === title)?.make()
  if (known === undefined) throw new RangeError(title)
  made.set(title, known)
  return known
}
