import type { RecordFigure } from '../../shared/schemas/verification/result.ts'
import { type Html, html } from './html.ts'

const [WIDTH, HEIGHT, EDGE] = [120, 16, 8]

/** The value with its ± against its limit, to scale; null where one of them is missing. What lies far beyond stands as a tip at the end. */
export function figureRuler({ value, U, limit }: Pick<RecordFigure, 'value' | 'U' | 'limit'>): Html | null {
  if (value === null || U === null || limit === null || (limit.low === null && limit.high === null)) return null
  const { from, to } = stretch(value, limit)
  const x = (v: number) => EDGE + ((v - from) / (to - from)) * (WIDTH - 2 * EDGE)
  const clipped = (v: number) => Math.min(WIDTH - 2, Math.max(2, x(v)))
  const [low, high] = [limit.low === null ? 0 : x(limit.low), limit.high === null ? WIDTH : x(limit.high)]
  const at = x(value)
  const isBeyond = at < 2 || at > WIDTH - 2
  const tip = at < 2 ? 'M8 4L1 8l7 4z' : `M${WIDTH - 8} 4l7 4-7 4z`
  return html`<svg class="ruler" viewBox="0 0 ${WIDTH} ${HEIGHT}" aria-hidden="true"><rect x="${low.toFixed(1)}" y="2" width="${(high - low).toFixed(1)}" height="12" class="band"/>
${limit.low === null ? null : html`<path d="M${(low + 3).toFixed(1)} 2h-3v12h3"/>`}${limit.high === null ? null : html`<path d="M${(high - 3).toFixed(1)} 2h3v12h-3"/>`}
<path d="M${clipped(value - U).toFixed(1)} 8H${clipped(value + U).toFixed(1)}" class="u"/>${
    isBeyond
      ? html`<path d="${tip}" class="filled"/>`
      : html`<circle cx="${at.toFixed(1)}" cy="8" r="2.5" class="filled"/>`
  }</svg>`
}

/** Half as much again on either side of a limit of two ends; from zero on where one end is open. */
function stretch(value: number, { low, high }: NonNullable<RecordFigure['limit']>): { from: number; to: number } {
  if (low !== null && high !== null) {
    const half = Math.max(high - low, Math.abs(high), Number.MIN_VALUE) / 2
    return { from: low - half, to: high + half }
  }
  const end = high ?? low ?? 0
  const size = Math.max(Math.abs(end), Math.abs(value) / 4, 1e-9)
  return high === null ? { from: end - size, to: end + 2 * size } : { from: end - size, to: end + size }
}
