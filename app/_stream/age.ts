import { useSyncExternalStore } from 'react'
import type { Side } from '../../shared/sample.ts'
import type { ZoneNow } from '../../shared/schemas/now.ts'
import { SILENT_AFTER_MS } from './connection.ts'
import { stream, useLink, useZoneNow } from './store.ts'

/** Ages are read, not measured with: ten steps a second are plenty and cost nothing. */
const TICK_MS = 100

const listeners = new Set<() => void>()
let timer: ReturnType<typeof setInterval> | null = null

function subscribeTicks(listener: () => void): () => void {
  listeners.add(listener)
  timer ??= setInterval(() => {
    for (const each of listeners) each()
  }, TICK_MS)
  return () => {
    listeners.delete(listener)
    if (listeners.size > 0 || timer === null) return
    clearInterval(timer)
    timer = null
  }
}

/** Tenths of a second since a gateway time: whole steps, so that a component renders only when the text changes. */
function ageTenths(timeMs: number | null): number | null {
  if (timeMs === null) return null
  const now = stream().gatewayNow()
  return now === null ? null : Math.max(0, Math.floor((now - timeMs) / TICK_MS))
}

/** Seconds since a gateway time (epoch ms), counting on by itself; null when the time or the clock is unknown. */
export function useAge(timeMs: number | null): number | null {
  const tenths = useSyncExternalStore(
    subscribeTicks,
    () => ageTenths(timeMs),
    () => null,
  )
  return tenths === null ? null : (tenths * TICK_MS) / 1000
}

/** Seconds since each side's newest usable sample, in the order asked; null for one of which none is known. */
export function useUsableAges(zoneId: string, sides: readonly Side[]): readonly (number | null)[] {
  const tenths = useSyncExternalStore(
    subscribeTicks,
    () => sides.map((side) => ageTenths(stream().lastGoodMs(zoneId, side)) ?? 'none').join(),
    () => '',
  )
  return tenths.split(',').map((text) => (text === 'none' || text === '' ? null : (Number(text) * TICK_MS) / 1000))
}

/** Whole seconds since a time of this browser's monotonic clock (`link.sinceMs`). */
export function useSecondsSince(localMs: number): number {
  return useSyncExternalStore(
    subscribeTicks,
    () => Math.max(0, Math.floor((stream().localNow() - localMs) / 1000)),
    () => 0,
  )
}

/** True while a time is young enough to be shown as now. Changes only when the answer does. */
export function useIsYoung(timeMs: number | null): boolean {
  return useSyncExternalStore(
    subscribeTicks,
    () => {
      const tenths = ageTenths(timeMs)
      return tenths !== null && tenths * TICK_MS < SILENT_AFTER_MS
    },
    () => false,
  )
}

export interface FreshZone {
  /** What was told last, of whatever age; null before the first. */
  readonly told: ZoneNow | null
  /** The same while it may stand as a number: connected, and not older than 1.5 s. Null otherwise. */
  readonly fresh: ZoneNow | null
}

/** A zone's statistics, and whether they may still be shown as numbers. */
export function useFreshZone(zoneId: string): FreshZone {
  const told = useZoneNow(zoneId)
  const isLive = useLink().phase === 'live'
  const isYoung = useIsYoung(told?.timeMs ?? null)
  return { told, fresh: isLive && isYoung ? told : null }
}
