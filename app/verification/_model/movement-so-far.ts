import { qualityFromByte, qualityOf } from '../../../shared/quality.ts'
import type { Side } from '../../../shared/sample.ts'
import type { ZoneRing } from '../../_stream/ring.ts'
import { REST_S } from './gate.ts'

/** What a side has done since a movement capture was begun. */
export interface SideMoved {
  readonly side: Side
  /** Newest sample, in the channel's unit; null where it is bad or there is none. */
  readonly newest: number | null
  /** Newest less the mean at rest, with U (k = 2) of one sample about that mean; null while the rest is not over, or a figure of it is missing. */
  readonly change: { readonly value: number; readonly U: number } | null
}

/** Fewer good samples at rest tell no scatter. */
const FEWEST = 5

/**
 * What moves while it moves: each side's newest sample against its rest, the first two seconds from `fromMs` (gateway
 * time, epoch ms) on. U is that of a single sample's difference from a mean of n: 2 s √(1 + 1/n), its scatter s taken
 * as random (JCGM 100, 4.2 and 5.1.2).
 */
export function movedSoFar(ring: ZoneRing, sides: readonly Side[], fromMs: number): readonly SideMoved[] {
  const restEndMs = fromMs + 1000 * REST_S
  return sides.map((side) => {
    const column = ring.columnOf(side)
    if (column < 0) return { side, newest: null, change: null }
    const newest = newestOf(ring, column, fromMs)
    const rest = restOf(ring, column, fromMs, restEndMs)
    const isOver = ring.length > 0 && ring.timeAt(ring.length - 1) >= restEndMs
    if (newest === null || rest === null || !isOver) return { side, newest, change: null }
    return { side, newest, change: { value: newest - rest.mean, U: rest.U } }
  })
}

/** A row may be another channel's alone; null where the newest of its own is bad. */
function newestOf(ring: ZoneRing, column: number, sinceMs: number): number | null {
  const qualities = ring.qualities(column)
  for (let i = ring.length - 1; i >= 0 && ring.timeAt(i) >= sinceMs; i -= 1) {
    const code = qualityFromByte(qualities[i] ?? 255)
    if (code === 'missing') continue
    const value = ring.values(column)[i] ?? Number.NaN
    return qualityOf(code) !== 'bad' && Number.isFinite(value) ? value : null
  }
  return null
}

function restOf(ring: ZoneRing, column: number, fromMs: number, toMs: number): { mean: number; U: number } | null {
  const qualities = ring.qualities(column)
  const values = ring.values(column)
  const good: number[] = []
  for (let i = ring.indexAtOrAfter(fromMs); i < ring.indexAtOrAfter(toMs); i += 1)
    if (qualityFromByte(qualities[i] ?? 255) === 'good') good.push(values[i] ?? Number.NaN)
  if (good.length < FEWEST) return null
  const mean = good.reduce((sum, v) => sum + v, 0) / good.length
  const variance = good.reduce((sum, v) => sum + (v - mean) ** 2, 0) / (good.length - 1)
  return { mean, U: 2 * Math.sqrt(variance * (1 + 1 / good.length)) }
}
