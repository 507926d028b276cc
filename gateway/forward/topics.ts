import type { EventKind } from '../../shared/schemas/events.ts'

/**
 * Topics, below the first levels of the config. `values` and `events` tell what was, in order and complete; `now` and
 * `status` are retained states that expire.
 */
export const topics = {
  zone: (id: string) => ({ values: `zones/${id}/values`, now: `zones/${id}/now` }),
  device: (id: string) => ({ values: `devices/${id}/values`, now: `devices/${id}/now` }),
  event: (kind: EventKind) => `${EVENTS}${kind}`,
  alarms: 'alarms/now',
  status: 'status',
} as const

/** What the topic of every event begins with. */
export const EVENTS = 'events/'
