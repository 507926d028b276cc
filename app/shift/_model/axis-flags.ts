import type { EventKind, StoredEvent } from '../../../shared/schemas/events.ts'
import type { ZoneHistory } from '../../../shared/schemas/history.ts'
import { formatNumber, NBSP } from '../../_ui/format.ts'

/** What a flag on the time axis is about; each has a shape and a word of its own. */
export const FLAG_KINDS = ['alarm', 'note', 'baseline', 'config', 'clock-step', 'recording', 'device'] as const
export type FlagKind = (typeof FLAG_KINDS)[number]

export const FLAG_WORDS: Record<FlagKind, string> = {
  alarm: 'alarm',
  note: 'note',
  baseline: 'baseline named',
  config: 'config changed',
  'clock-step': 'clock set',
  recording: 'recording',
  device: 'device',
}

export interface AxisFlag {
  readonly key: string
  readonly kind: FlagKind
  readonly timeMs: number
  readonly text: string
  /** Signed by; null where nobody did. */
  readonly who: string | null
}

const SHOWN: Partial<Record<EventKind, FlagKind>> = {
  alarm: 'alarm',
  note: 'note',
  baseline: 'baseline',
  config: 'config',
  'clock-step': 'clock-step',
  recording: 'recording',
  gateway: 'recording',
  device: 'device',
}

/** Under which flag an event of this kind stands; null for what concerns no shift. */
export const flagKindOf = (kind: EventKind): FlagKind | null => SHOWN[kind] ?? null

/**
 * Everything that happened in a shift, in order of time: the trail, and what the history itself tells of
 * revisions and clock steps where the trail does not have it.
 */
export function flagsOf(
  history: Pick<ZoneHistory, 'revisions' | 'clockSteps'> | null,
  events: readonly StoredEvent[],
): readonly AxisFlag[] {
  const told = events.flatMap((event): AxisFlag[] => {
    const kind = flagKindOf(event.kind)
    if (kind === null) return []
    return [{ key: `event ${event.id}`, kind, timeMs: event.timeMs, text: event.text, who: event.who }]
  })
  const isTold = (kind: FlagKind, timeMs: number) =>
    told.some((flag) => flag.kind === kind && Math.abs(flag.timeMs - timeMs) < SAME_MS)
  const untold: AxisFlag[] = []
  // The first revision was in force when the stretch began: it did not happen there.
  for (const { timeMs, revision } of history?.revisions.slice(1) ?? [])
    if (!isTold('config', timeMs))
      untold.push({
        key: `revision ${timeMs}`,
        kind: 'config',
        timeMs,
        text: `Revision ${revision} came into force.`,
        who: null,
      })
  for (const { timeMs, stepMs } of history?.clockSteps ?? [])
    if (!isTold('clock-step', timeMs))
      untold.push({ key: `step ${timeMs}`, kind: 'clock-step', timeMs, text: stepInWords(stepMs), who: null })
  return [...told, ...untold].sort((a, b) => a.timeMs - b.timeMs)
}

const SAME_MS = 2000

function stepInWords(stepMs: number): string {
  const seconds = Math.abs(stepMs) / 1000
  const size =
    seconds < 120
      ? `${formatNumber(seconds, seconds < 10 ? 1 : 0)}${NBSP}s`
      : `${formatNumber(seconds / 60, 0)}${NBSP}min`
  return `The wall clock was set ${stepMs > 0 ? 'forward' : 'back'} by ${size}; the samples kept their order.`
}

/** Flags that fall on one place of the axis: they share a mark. */
export interface FlagGroup {
  /** Place along what is shown, 0 to 1: that of its first flag. */
  readonly share: number
  readonly flags: readonly AxisFlag[]
}

/** The flags between two times, those nearer than `leastShare` to the first of a group taken together. */
export function groupsOf(
  flags: readonly AxisFlag[],
  fromMs: number,
  toMs: number,
  leastShare: number,
): readonly FlagGroup[] {
  const groups: { share: number; flags: AxisFlag[] }[] = []
  for (const flag of flags) {
    const share = (flag.timeMs - fromMs) / (toMs - fromMs)
    if (share < 0 || share > 1) continue
    const last = groups.at(-1)
    if (last !== undefined && share - last.share < leastShare) last.flags.push(flag)
    else groups.push({ share, flags: [flag] })
  }
  return groups
}
