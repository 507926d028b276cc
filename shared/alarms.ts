/** Of more than a few, nobody remembers what each asks for. Highest first. */
export const PRIORITIES = ['high', 'medium', 'low'] as const
export type Priority = (typeof PRIORITIES)[number]

/**
 * What an alarm's condition is held to be, delays included. `returned`: the condition is over, and somebody has still
 * to say so. `unknown`: data have stopped, and silence is never taken for normal.
 */
export const STANDINGS = ['normal', 'active', 'returned', 'unknown'] as const
export type Standing = (typeof STANDINGS)[number]

/** One word for all of an alarm, in the order in which a list shows them. */
export const ALARM_STATES = [
  'unacknowledged',
  'acknowledged',
  'returned',
  'unknown',
  'shelved',
  'out-of-service',
  'normal',
] as const
export type AlarmStateName = (typeof ALARM_STATES)[number]

/** What the published alarm rates say of a number of announcements; the words between and beyond are ours. */
export const FLOOD_LEVELS = ['acceptable', 'manageable', 'demanding', 'flood'] as const
export type FloodLevel = (typeof FLOOD_LEVELS)[number]
