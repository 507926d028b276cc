import { told } from '../_language/current.ts'
import type { PictureColumn } from './picture.ts'
import type { PlotTheme, TraceStyle } from './plot-theme.ts'

/** Words at the end of a line, and the canvas pixel they stand at. */
export interface Label {
  readonly style: TraceStyle
  y: number
}

/** The line's sample and its words, set off from what lies under them. */
export function paintLabel(
  ctx: CanvasRenderingContext2D,
  theme: PlotTheme,
  style: TraceStyle,
  left: number,
  y: number,
): void {
  const ratio = devicePixelRatio
  const label = told(style.label)
  ctx.lineJoin = 'round'
  ctx.strokeStyle = theme.ground
  ctx.lineWidth = 4 * ratio
  ctx.strokeText(label, left + 22 * ratio, y)
  ctx.strokeStyle = theme.colours[style.tone]
  ctx.lineWidth = 2.5 * ratio
  ctx.setLineDash(style.isDashed ? [6 * ratio, 4 * ratio] : [])
  ctx.beginPath()
  ctx.moveTo(left, y)
  ctx.lineTo(left + 16 * ratio, y)
  ctx.stroke()
  ctx.setLineDash([])
  ctx.fillStyle = theme.ink
  ctx.fillText(label, left + 22 * ratio, y)
}

/** Buckets at the end of a line that its label goes by: enough that it does not tremble with the noise. */
const END_BUCKETS = 24
/** Buckets a label inside the plot is about as wide as. */
const LABEL_BUCKETS = 110

/** Level on which a line ends; null without one. */
export function endLevel(mean: readonly (number | null)[]): number | null {
  let sum = 0
  let count = 0
  for (let i = mean.length - 1; i >= 0 && count < END_BUCKETS; i--) {
    const value = mean[i]
    if (value === null || value === undefined) continue
    sum += value
    count++
  }
  return count === 0 ? null : sum / count
}

/** What a label at the end of a line must not cover; null where there is nothing. */
export function endExtent(column: PictureColumn | undefined): { lo: number; hi: number } | null {
  const lows = column?.lo.slice(-LABEL_BUCKETS).filter((v) => v !== null) ?? []
  const highs = column?.hi.slice(-LABEL_BUCKETS).filter((v) => v !== null) ?? []
  return lows.length === 0 ? null : { lo: Math.min(...lows), hi: Math.max(...highs) }
}

/** Pushes labels at least `distance` apart, keeping them between `top` and `bottom`. */
export function spread(labels: { y: number }[], distance: number, top: number, bottom: number): void {
  labels.sort((a, b) => a.y - b.y)
  let least = top
  for (const label of labels) {
    label.y = Math.max(label.y, least)
    least = label.y + distance
  }
  let most = bottom
  for (const label of labels.toReversed()) {
    label.y = Math.min(label.y, most)
    most = label.y - distance
  }
}
