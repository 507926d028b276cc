import type uPlot from 'uplot'
import type { FigureLimit } from '../../../shared/schemas/now.ts'
import { told } from '../../_language/current.ts'
import { bandPaths } from '../../_plots/expected-band.ts'
import type { Picture } from '../../_plots/picture.ts'
import type { PlotTheme } from '../../_plots/plot-theme.ts'
import { linePath, type Projection, type Stretch } from '../../_plots/trace-paths.ts'
import type { BandLine } from '../_model/bands.ts'
import type { TrendPoint } from '../_model/trend.ts'

/** Where one band is painted. */
export interface Sheet {
  readonly ctx: CanvasRenderingContext2D
  readonly to: Projection
  readonly area: uPlot.BBox
  readonly theme: PlotTheme
}

const STEADY_ALPHA = 0.06
const AHEAD_ALPHA = 0.5
const TREND_ALPHA = 0.2
const TREND_EDGE_ALPHA = 0.6
const EARLIER_ALPHA = 0.75
const DOT_ON_PX = 2
const DOT_PERIOD_PX = 6

/** Steady running, behind everything: what drift is told from. */
export function paintSteady({ ctx, to, area, theme }: Sheet, stretches: readonly Stretch[]): void {
  ctx.fillStyle = theme.ink
  ctx.globalAlpha = STEADY_ALPHA
  for (const { fromMs, toMs } of stretches) {
    const left = Math.max(area.left, to.x(fromMs))
    const right = Math.min(area.left + area.width, to.x(toMs))
    if (right > left) ctx.fillRect(left, area.top, right - left, area.height)
  }
  ctx.globalAlpha = 1
}

/** The time that has not come yet: a line at its beginning, nothing after it but a forecast. */
export function paintAhead({ ctx, to, area, theme }: Sheet, fromMs: number): void {
  const left = to.x(fromMs)
  if (left >= area.left + area.width - 1) return
  ctx.strokeStyle = theme.inkSoft
  ctx.globalAlpha = AHEAD_ALPHA
  ctx.lineWidth = devicePixelRatio
  strokeUpright(ctx, left, area)
  ctx.globalAlpha = 1
}

/** An earlier stretch under the present one: dotted, in the colours of its lines. */
export function paintEarlier(
  { ctx, to, theme }: Sheet,
  picture: Picture,
  lines: readonly BandLine[],
  msPerPx: number,
): void {
  const dots = { onMs: DOT_ON_PX * msPerPx, periodMs: DOT_PERIOD_PX * msPerPx }
  ctx.globalAlpha = EARLIER_ALPHA
  ctx.lineWidth = 2 * devicePixelRatio
  for (const [i, line] of lines.entries()) {
    const column = picture.columns[i]
    if (column === undefined) continue
    ctx.strokeStyle = line.tone === 'neutral' ? theme.inkSoft : theme.colours[line.tone]
    ctx.stroke(linePath(picture.x, column, to, dots))
  }
  ctx.globalAlpha = 1
}

/** The line of a drift with its band; a forecast is dashed, for it has not happened. */
export function paintTrend({ ctx, to, theme }: Sheet, points: readonly TrendPoint[], isForecast: boolean): void {
  if (points.length < 2) return
  const { outline, middle } = bandPaths(points, to)
  ctx.fillStyle = theme.ink
  ctx.globalAlpha = isForecast ? TREND_ALPHA / 2 : TREND_ALPHA
  ctx.fill(outline)
  ctx.strokeStyle = theme.ink
  ctx.lineWidth = devicePixelRatio
  ctx.globalAlpha = TREND_EDGE_ALPHA
  // Edges of a narrow band would close the dashes that tell a forecast.
  if (!isForecast) ctx.stroke(outline)
  ctx.globalAlpha = 1
  // Thinner than the trace and without a rim: no sample may hide under it.
  ctx.lineWidth = 1.25 * devicePixelRatio
  ctx.setLineDash(isForecast ? [6 * devicePixelRatio, 5 * devicePixelRatio] : [])
  ctx.stroke(middle)
  ctx.setLineDash([])
}

/** Both ends of a limit, with the word where there is room for it. */
export function paintLimit({ ctx, to, area, theme }: Sheet, { target, half }: FigureLimit): void {
  ctx.strokeStyle = theme.ink
  ctx.fillStyle = theme.ink
  ctx.lineWidth = 1.5 * devicePixelRatio
  ctx.font = theme.font.replace(/^(\d+)px/, (_, size) => `${Number(size) * 0.92 * devicePixelRatio}px`)
  ctx.textAlign = 'left'
  for (const [edge, baseline, gap] of [
    [target + half, 'top', 3],
    [target - half, 'bottom', -3],
  ] as const) {
    const y = to.y(edge)
    if (y < area.top || y > area.top + area.height) continue
    ctx.setLineDash([10 * devicePixelRatio, 4 * devicePixelRatio, 2 * devicePixelRatio, 4 * devicePixelRatio])
    ctx.beginPath()
    ctx.moveTo(area.left, y)
    ctx.lineTo(area.left + area.width, y)
    ctx.stroke()
    ctx.setLineDash([])
    ctx.textBaseline = baseline
    ctx.fillText(told('limit'), area.left + 6 * devicePixelRatio, y + gap * devicePixelRatio)
  }
}

/** A hair line through the band at each flag, so that it can be followed down from the axis. */
export function paintFlagLines({ ctx, to, area, theme }: Sheet, timesMs: readonly number[]): void {
  ctx.strokeStyle = theme.inkSoft
  ctx.globalAlpha = 0.55
  ctx.lineWidth = devicePixelRatio
  ctx.setLineDash([2 * devicePixelRatio, 3 * devicePixelRatio])
  for (const t of timesMs) {
    const x = to.x(t)
    if (x >= area.left && x <= area.left + area.width) strokeUpright(ctx, x, area)
  }
  ctx.setLineDash([])
  ctx.globalAlpha = 1
}

function strokeUpright(ctx: CanvasRenderingContext2D, x: number, area: uPlot.BBox): void {
  ctx.beginPath()
  ctx.moveTo(x, area.top)
  ctx.lineTo(x, area.top + area.height)
  ctx.stroke()
}
