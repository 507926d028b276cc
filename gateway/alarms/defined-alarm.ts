import type { Condition } from '../../lib/alarms/condition.ts'
import type { AlarmRule } from '../../lib/alarms/rule.ts'
import type { Priority } from '../../shared/alarms.ts'
import type { AlarmOff, AlarmReading } from '../../shared/schemas/alarms.ts'
import type { AlarmConfig } from '../../shared/schemas/config.ts'
import type { AlarmFacts } from './facts.ts'

/** One look at the plant: what it means for the alarm, and what was seen. */
export interface Look {
  readonly condition: Condition
  readonly reading: AlarmReading | null
}
export const NOTHING_SEEN: Look = { condition: 'unknown', reading: null }

/** One alarm of a config. */
export interface DefinedAlarm {
  readonly id: string
  readonly zone: { readonly id: string; readonly name: string } | null
  /** Key of `alarms` in the config. */
  readonly key: string
  /** What it looks at, and what is wrong with it when the alarm is active. */
  readonly title: string
  readonly wrong: string
  readonly priority: Priority
  readonly rule: AlarmRule
  look(facts: AlarmFacts): Look
}

/** What tells one alarm from another; the rest is the same for all. */
export type AlarmKind = Pick<DefinedAlarm, 'id' | 'key' | 'title' | 'wrong' | 'look'> & {
  readonly config: AlarmConfig
  /** Why there can be none of this kind; absent where there can. */
  readonly missing?: string | undefined
}

/** An alarm as the config wants it, or why there is none. */
export function defined(
  { config, missing, ...kind }: AlarmKind,
  zone: DefinedAlarm['zone'],
  longestShelvingMs: number,
): { readonly alarm: DefinedAlarm } | { readonly off: AlarmOff } {
  const why = missing ?? (config.enabled ? undefined : 'turned off in the config')
  if (why !== undefined)
    return { off: { id: kind.id, zone: zone?.id ?? null, zoneName: zone?.name ?? null, title: kind.title, why } }
  const rule: AlarmRule = {
    onDelayMs: config.on_delay_s * 1000,
    offDelayMs: config.off_delay_s * 1000,
    unknownAfterMs: config.unknown_after_s * 1000,
    deadband: config.deadband_percent / 100,
    latched: config.latched,
    longestShelvingMs,
  }
  return { alarm: { ...kind, zone, priority: config.priority, rule } }
}
