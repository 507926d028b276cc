import type { Limit, ZoneConfig } from '../../shared/schemas/config.ts'
import { withUnit } from '../statistics/plus-minus.ts'

/** What a verification is judged by: from the zone's `verification` and `limits` in the config. */
export type VerificationLimits = ZoneConfig['verification'] &
  Pick<ZoneConfig['limits'], 'side_difference_percent' | 'noise_percent' | 'drift_percent_per_hour'>

export const verificationLimits = ({ verification, limits }: ZoneConfig): VerificationLimits => ({
  ...verification,
  side_difference_percent: limits.side_difference_percent,
  noise_percent: limits.noise_percent,
  drift_percent_per_hour: limits.drift_percent_per_hour,
})

/** A limit as a record carries it. One end may be open. */
export interface RecordLimit {
  readonly low: number | null
  readonly high: number | null
  readonly text: string
  readonly source: string
}

/** Within ± the limit of nothing. */
export const within = ({ value, source }: Limit, unit: string): RecordLimit => ({
  low: -value,
  high: value,
  text: `±${withUnit(String(value), unit)}`,
  source,
})

export const atMost = ({ value, source }: Limit, unit: string): RecordLimit => ({
  low: null,
  high: value,
  text: `at most ${value} ${unit}`,
  source,
})

export const atLeast = ({ value, source }: Limit, unit: string): RecordLimit => ({
  low: value,
  high: null,
  text: `at least ${value} ${unit}`,
  source,
})

export const between = (least: Limit, most: Limit, unit: string): RecordLimit => ({
  low: least.value,
  high: most.value,
  text: `${least.value} to ${most.value} ${unit}`,
  source: least.source === most.source ? least.source : `${least.source}; ${most.source}`,
})

/** As the plan lists it. */
export const listed = (what: string, { text, source }: RecordLimit) => ({ text: `${what}: ${text}`, source })
