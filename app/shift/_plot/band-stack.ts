import type { FigureLimit } from '../../../shared/schemas/now.ts'
import type { Drift } from '../../../shared/schemas/shift.ts'
import type { Picture } from '../../_plots/picture.ts'
import type { PlotTheme } from '../../_plots/plot-theme.ts'
import type { Stretch } from '../../_plots/trace-paths.ts'
import { TracePlot } from '../../_plots/trace-plot.ts'
import { type Range, UNSCALED, yRange } from '../../_plots/y-range.ts'
import { formatTrimmed } from '../../_ui/format.ts'
import { bandPicture } from '../_model/band-picture.ts'
import { bandExtent } from '../_model/band-range.ts'
import type { Band } from '../_model/bands.ts'
import { bestRows, type HistoryRows } from '../_model/history-rows.ts'
import type { Span } from '../_model/shift-choice.ts'
import { forecastPoints, linePoints, type TrendPoint } from '../_model/trend.ts'
import { paintAhead, paintEarlier, paintFlagLines, paintLimit, paintSteady, paintTrend, type Sheet } from './layers.ts'

/** What the next frame is to show. Compared by identity: a new object is a new picture. */
export interface Scene {
  /** The stretch on the axis; after `endMs` nothing can have been measured yet. */
  readonly axis: Span
  readonly endMs: number
  /** Answers of the store that may be drawn from. */
  readonly known: readonly HistoryRows[]
  /** The same of an earlier stretch, moved under the present one. */
  readonly earlier: readonly HistoryRows[]
  readonly steady: readonly Stretch[]
  /** Drift of a band's own figure. */
  readonly drifts: Partial<Record<Band['key'], Drift>>
  readonly limits: Partial<Record<Band['key'], FigureLimit>>
  readonly isToLimits: boolean
  readonly flagTimesMs: readonly number[]
  /** Longest time between two samples of the zone that is no gap. */
  readonly holeMs: number
}

/** One drawn frame, for what stands beside the canvases. */
export interface StackFrame {
  readonly axis: Span
  /** What was drawn from; null when nothing is known. */
  readonly rows: HistoryRows | null
  readonly earlier: HistoryRows | null
  /** CSS pixels of the traces within the stage. */
  readonly area: { readonly left: number; readonly width: number }
  readonly msPerPx: number
}

interface Drawer {
  readonly band: Band
  readonly host: HTMLElement
  readonly plot: TracePlot
  range: Range | null
}

/** A bucket that comes late by this share of its width is none: what lies between is a gap. */
const BUCKET_SLACK = 0.5
/** The store takes a second or two to hold what was just measured. */
const ON_THE_WAY_MS = 5000
const NOTHING: Picture = { x: [], columns: [], cells: [] }

/** All bands on one time axis. */
export class BandStack {
  readonly #drawers: readonly Drawer[]
  readonly #theme: PlotTheme

  constructor(hosts: readonly HTMLElement[], bands: readonly Band[], theme: PlotTheme) {
    this.#theme = theme
    this.#drawers = bands.flatMap((band, i): Drawer[] => {
      const host = hosts[i]
      if (host === undefined) return []
      return [{ band, host, plot: new TracePlot(host, band.lines, theme, i === bands.length - 1), range: null }]
    })
  }

  /** Pixels across which time is drawn. */
  get width(): number {
    return this.#drawers[0]?.plot.area.width ?? 0
  }

  resize(): void {
    for (const { host, plot } of this.#drawers)
      if (host.clientWidth > 0) plot.resize(host.clientWidth, host.clientHeight)
  }

  draw(scene: Scene): StackFrame | null {
    const [first] = this.#drawers
    if (first === undefined) return null
    const { axis } = scene
    const { left, width } = first.plot.area
    const msPerPx = (axis.toMs - axis.fromMs) / Math.max(1, width)
    const rows = bestRows(scene.known, axis.fromMs, Math.min(axis.toMs, scene.endMs))
    const earlier = bestRows(scene.earlier, axis.fromMs, axis.toMs)
    for (const drawer of this.#drawers) this.#drawBand(drawer, scene, rows, earlier, msPerPx)
    return { axis, rows, earlier, area: { left, width }, msPerPx }
  }

  destroy(): void {
    for (const { plot } of this.#drawers) plot.destroy()
  }

  #drawBand(
    drawer: Drawer,
    scene: Scene,
    rows: HistoryRows | null,
    earlierRows: HistoryRows | null,
    msPerPx: number,
  ): void {
    const { band, plot } = drawer
    const { axis, endMs } = scene
    const picture = picturesOf(rows, band, scene)
    const earlier = earlierRows === null ? null : picturesOf(earlierRows, band, scene)
    const drift = scene.drifts[band.key]
    const line = drift?.line == null ? [] : linePoints(drift.line)
    const ahead = drift === undefined || axis.toMs <= endMs ? [] : forecastPoints(drift, axis.toMs)
    const limit = scene.limits[band.key] ?? null
    const isShare = band.unit === '%'
    const extent = bandExtent({
      picture,
      earlier,
      steady: isShare ? scene.steady : null,
      trend: inView([...line, ...ahead], axis),
      limit: scene.isToLimits ? limit : null,
    })
    drawer.range = yRange(drawer.range, extent, false)
    const oldestMs = rows?.keptFromMs ?? null
    const isFirst = band.isTall
    plot.draw({
      picture,
      bands: [],
      ...axis,
      bucketMs: msPerPx,
      ...(rows === null || rows.bucketMs === 0 ? {} : { rowMs: rows.bucketMs }),
      range: drawer.range,
      unit: titleOf(band, limit, drawer.range),
      theme: this.#theme,
      oldestMs: isFirst && rows !== null ? oldestMs : axis.fromMs,
      silentFromMs: null,
      under: (ctx, to, area, theme) => {
        const sheet: Sheet = { ctx, to, area, theme }
        paintSteady(sheet, scene.steady)
        paintAhead(sheet, endMs)
        if (earlier !== null) paintEarlier(sheet, earlier, band.lines, msPerPx)
      },
      over: (ctx, to, area, theme) => {
        const sheet: Sheet = { ctx, to, area, theme }
        paintFlagLines(sheet, scene.flagTimesMs)
        if (limit !== null) paintLimit(sheet, limit)
        paintTrend(sheet, line, false)
        paintTrend(sheet, ahead, true)
      },
    })
  }
}

function picturesOf(rows: HistoryRows | null, band: Band, { axis, holeMs }: Scene): Picture {
  if (rows === null) return NOTHING
  const rowMs = rows.bucketMs === 0 ? holeMs : rows.bucketMs * BUCKET_SLACK
  const endMs = Math.max(rowMs, 2 * rows.bucketMs, ON_THE_WAY_MS)
  return bandPicture(rows, band.lines, axis.fromMs, axis.toMs, { rowMs, endMs })
}

const inView = (points: readonly TrendPoint[], { fromMs, toMs }: Span): readonly TrendPoint[] =>
  points.some(({ tMs }) => tMs >= fromMs && tMs <= toMs) ? points : []

/** A limit off the scale is told in the title, so that it is never out of sight. */
function titleOf({ title, unit }: Band, limit: FigureLimit | null, range: Range): string {
  const name = `${title}, ${unit}`
  if (limit === null) return name
  const isSeen = limit.target + limit.half <= range.max || limit.target - limit.half >= range.min
  const words = `${limit.target === 0 ? '' : `${formatTrimmed(limit.target)} `}±${formatTrimmed(limit.half)} ${unit}`
  if (range === UNSCALED) return `${name} (limit ${words})`
  return isSeen ? name : `${name} (limit ${words}, off scale)`
}
