import { useMemo } from 'react'
import type { FigureLimit, ZoneNow } from '../../../shared/schemas/now.ts'
import type { ShiftAnalysis } from '../../../shared/schemas/shift.ts'
import { useZoneNow } from '../../_stream/store.ts'
import type { Band, BandKey } from './bands.ts'

/**
 * What a band is held to, in its own unit: the limit that the drift was told against, else the one of the
 * figure of now. The agreement is judged in newtons: of the present expected tension it makes a share.
 */
function limitOf(key: BandKey, shift: ShiftAnalysis | null, now: ZoneNow | null): FigureLimit | null {
  if (key !== 'residual' && key !== 'imbalance') return null
  const quantity = key === 'residual' ? 'agreement' : 'side_difference'
  const told = shift?.drifts.find((drift) => drift.quantity === quantity)?.forecast?.limit
  if (told !== undefined) return told
  if (key === 'imbalance') return now?.imbalance?.limit ?? null
  const limit = now?.agreement?.limit ?? null
  const expected = now?.expected?.value ?? null
  if (limit === null || expected === null || !(expected > 0)) return null
  const share = (newtons: number) => Number(((newtons / expected) * 100).toPrecision(DIGITS))
  return { ...limit, target: share(limit.target), half: share(limit.half) }
}

/** A share of an expected tension that trembles: no more digits than can be seen on an axis. */
const DIGITS = 2

export type Limits = Partial<Record<BandKey, FigureLimit>>

/** The limits of the bands; the same object until one of them changes, though figures come four times a second. */
export function useLimits(bands: readonly Band[], shift: ShiftAnalysis | null, zoneId: string): Limits {
  const now = useZoneNow(zoneId)
  const text = JSON.stringify(Object.fromEntries(bands.map(({ key }) => [key, limitOf(key, shift, now) ?? undefined])))
  return useMemo(() => JSON.parse(text) as Limits, [text])
}
