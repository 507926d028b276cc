import type { StoredEvent } from '../../shared/schemas/events.ts'

/** Whether a line of the trail concerns a zone: its own, and what concerns the whole gateway (it has no zone). */
export const concernsZone =
  (zone: string) =>
  (event: Pick<StoredEvent, 'zone'>): boolean =>
    event.zone === null || event.zone === zone
