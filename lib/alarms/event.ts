import type { Standing } from '../../shared/alarms.ts'

interface At {
  /** When it happened, epoch ms; a time limit that ran out is dated by the limit. */
  readonly atMs: number
}

/** Every transition of an alarm is one of these. */
export type AlarmEvent = At &
  (
    | { readonly kind: 'activated'; readonly beganMs: number; readonly announced: boolean }
    | { readonly kind: 'returned'; readonly to: 'returned' | 'normal' }
    /** Data have stopped. */
    | { readonly kind: 'lost' }
    /** Data are back, and it goes on where it was. */
    | { readonly kind: 'resumed'; readonly to: Exclude<Standing, 'unknown'> }
    | { readonly kind: 'acknowledged'; readonly who: string }
    | { readonly kind: 'shelved'; readonly who: string; readonly reason: string; readonly untilMs: number }
    /** `who` is null when the time limit ran out; `announced`: it is active still, and asks anew. */
    | { readonly kind: 'unshelved'; readonly who: string | null; readonly announced: boolean }
    | { readonly kind: 'taken-out'; readonly who: string; readonly reason: string }
    | { readonly kind: 'put-back'; readonly who: string }
  )

/** It calls for a person: what the flood measure counts. */
export function isAnnouncement(event: AlarmEvent): boolean {
  return 'announced' in event && event.announced
}
