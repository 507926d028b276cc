import { createHash } from 'node:crypto'
import { readFileSync } from 'node:fs'
import { parseConfig } from '../../../gateway/config/load.ts'
import { canonicalJson, entryHash, headHash } from '../../../lib/verification/chain.ts'
import { type VerificationContext, verificationContext } from '../../../lib/verification/context.ts'
import { judgeTest } from '../../../lib/verification/judge-test.ts'
import { planOf } from '../../../lib/verification/plan.ts'
import { recordConfig } from '../../../lib/verification/record-config.ts'
import type { Side } from '../../../shared/sample.ts'
import type { Capture } from '../../../shared/schemas/verification/capture.ts'
import type { TestId } from '../../../shared/schemas/verification/test-ids.ts'
import type { RecordEntry, TestPhase, TestValues, VerificationRecord } from '../../../shared/schemas/verification.ts'

export const sha256 = (text: string): string => createHash('sha256').update(text).digest('hex')
const scenario = (name: string) =>
  readFileSync(new URL(`../../../simulator/scenarios/${name}.yaml`, import.meta.url), 'utf8')

/** A zone of one of the simulator's config files, the first where none is named. */
export function contextOf(
  name: string,
  zoneId?: string,
  change: (text: string) => string = (text) => text,
): VerificationContext {
  const { config, revision } = parseConfig(change(scenario(name)), `${name}.yaml`)
  return verificationContext(config, zoneId ?? config.zones[0]?.id ?? '', revision)
}

/** A test of this zone judged as it would be for these values and captures. */
export const judged = (
  context: VerificationContext,
  test: TestId,
  values: TestValues = {},
  captures: readonly Capture[] = [],
  phase: TestPhase = 'as-left',
) => judgeTest(context, test, { phase, values, captures, earlier: [], shift: null })

let made = 0
export interface MadeSide {
  /** Mean force along the arrow, N, and its standard uncertainty. */
  readonly force: number
  readonly u?: number
  readonly noise?: number
}

/** A capture as the gateway would have made it, out of these forces; electrical values follow from the channel's scale. */
export function captured(
  context: VerificationContext,
  id: string,
  sides: Readonly<Partial<Record<Side, MadeSide>>>,
  more: Partial<Capture> = {},
): Capture {
  made += 1
  const scaleOf = (side: Side) => {
    const channel = context.channels.get((context.zone.cells as Record<string, string>)[side] ?? '')
    if (channel?.force === undefined) throw new RangeError(side)
    return channel.force
  }
  const fromMs = 1_760_000_000_000 + made * 60_000
  return {
    key: `00000000-0000-4000-8000-${String(made).padStart(12, '0')}`,
    capture: id,
    fromMs,
    toMs: fromMs + 30_000,
    values: {},
    revision: context.revision,
    sides: Object.fromEntries(
      Object.entries(sides).map(([side, { force, u = 0.02, noise = 0.3 }]) => {
        const { gain, zero } = scaleOf(side as Side)
        return [
          side,
          {
            samples: 3000,
            good: 3000,
            electrical: { value: force / gain + zero, u: u / Math.abs(gain) },
            electricalUnit: 'mV/V',
            force: { value: force, u },
            min: force - 3 * noise,
            max: force + 3 * noise,
            noise,
            peakToPeak: 6 * noise,
            distinct: 900,
            step: null,
            atEnd: 0,
            bad: 0,
            badStretches: 0,
            spikes: 0,
          },
        ]
      }),
    ),
    total: null,
    imbalance: null,
    residual: null,
    expected: null,
    speed: null,
    reference: null,
    temperature: null,
    neighbour: null,
    rollerSpeed: null,
    lines: [],
    change: {},
    trace: {
      t: Array.from({ length: 60 }, (_, i) => i / 2),
      sides: Object.fromEntries(
        Object.entries(sides).map(([side, { force }]) => [
          side,
          Array.from({ length: 60 }, (_, i) => (i > 20 && i < 24 ? null : force + Math.sin(i))),
        ]),
      ),
    },
    ...more,
  }
}

export type Made = RecordEntry extends infer Entry
  ? Entry extends RecordEntry
    ? Omit<Entry, 'seq' | 'previous' | 'hash' | 'key' | 'who' | 'timeMs'>
    : never
  : never

/** A record with these entries, chained as the gateway chains them. */
export function recordOf(
  context: VerificationContext,
  title: string,
  entries: readonly Made[],
  who = 'A. Fitter',
): VerificationRecord {
  const head = {
    format: 'evenpull-verification/1' as const,
    id: '5d2c9a7e-3c1b-4f57-9d0e-6a1f0b9c7e21',
    zone: context.zone.id,
    zoneName: context.zone.name ?? context.zone.id,
    plant: context.config.plant ?? null,
    line: context.config.line ?? null,
    title,
    begunBy: who,
    begunMs: 1_760_000_000_000,
    revision: context.revision,
    software: '0.1.0',
    plan: planOf(context),
    config: recordConfig(context),
  }
  let previous = headHash(head, sha256)
  const chained = entries.map((entry, i) => {
    const plain = JSON.parse(
      canonicalJson({ ...entry, seq: i + 1, key: `k${i}`, who, timeMs: 1_760_000_100_000 + i * 1000, previous }),
    )
    const hash = entryHash(plain, sha256)
    previous = hash
    return { ...plain, hash } as RecordEntry
  })
  return { head, entries: chained, digest: previous, signed: entries.some(({ kind }) => kind === 'signature') }
}

/** A result entry of a test. */
export function resultEntry(
  context: VerificationContext,
  test: TestId,
  values: TestValues,
  captures: Capture[] = [],
  phase: TestPhase = 'as-left',
  attempt = 1,
): Made {
  const title =
    planOf(context)
      .stages.flatMap(({ tests }) => tests)
      .find(({ id }) => id === test)?.title ?? test
  return {
    kind: 'result',
    test,
    title,
    phase,
    attempt,
    values,
    captures,
    result: judged(context, test, values, captures, phase),
    revision: context.revision,
    software: '0.1.0',
  }
}
