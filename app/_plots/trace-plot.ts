import uPlot from 'uplot'
import { tellingNow, told } from '../_language/current.ts'
import { formatNumber } from '../_ui/format.ts'
import { bandPaths } from './expected-band.ts'
import { hatchPattern } from './hatch.ts'
import type { Picture } from './picture.ts'
import type { Painter, PlotFrame } from './plot-frame.ts'
import type { PlotTheme, TraceStyle } from './plot-theme.ts'
import { clockText, localOffsetMs, tickText, timeStep, timeTicks } from './time-ticks.ts'
import { endExtent, endLevel, type Label, paintLabel, spread } from './trace-labels.ts'
import {
  emptyStretches,
  linePath,
  type Projection,
  paintBand,
  type Stretch,
  uncertainStretches,
} from './trace-paths.ts'
import { decimalsFor, roundStep, UNSCALED } from './y-range.ts'

const AXIS_WIDTH = 62
/** Room for the words beside the plot: German is longer. */
const labelWidth = (): number => (tellingNow().language === 'en' ? 128 : 156)
/** Under this width the words stand inside the plot. */
const LABELS_INSIDE_UNDER = 720
const TITLE_HEIGHT = 26
const TIME_AXIS_HEIGHT = 28
const TIME_LABEL_SPACE = 84
const VALUE_LABEL_SPACE = 40
/** A plot lower than this has its marks closer: one number is no scale. */
const LOW_PLOT = 140
const LOW_LABEL_SPACE = 26
const BAND_ALPHA = 0.38
/** A band of neutral ink weighs more than one of a colour. */
const NEUTRAL_BAND_ALPHA = 0.24
/** Light enough for the traces to stand out from, dark enough to be seen where both sides' lie on one another. */
const EXPECTED_ALPHA = 0.13
const EXPECTED_MIDDLE_ALPHA = 0.55
const LINE_WIDTH = 2
/** A gap narrower than this is a plain stripe: hatching would fall into specks. */
const HATCH_FROM_PX = 8
const NARROW_GAP_ALPHA = 0.3
const DASH_ON_PX = 14
const DASH_PERIOD_PX = 24
const BETWEEN_DASHES_ALPHA = 0.4
const EMPTY: Picture = { x: [], columns: [], cells: [] }

/** One plot on canvas: axes and scales by uPlot, traces from a picture of buckets. Draws only when told to. */
export class TracePlot {
  readonly #plot: uPlot
  readonly #styles: readonly TraceStyle[]
  #frame: PlotFrame | null = null
  #hatches = new Map<string, CanvasPattern>()
  #width: number
  #height: number

  constructor(host: HTMLElement, styles: readonly TraceStyle[], theme: PlotTheme, showsTime: boolean) {
    this.#styles = styles
    this.#width = Math.max(200, host.clientWidth)
    this.#height = Math.max(60, host.clientHeight)
    this.#plot = new uPlot(this.#options(theme, showsTime), this.#data(EMPTY), host)
  }

  /** CSS pixels of the area the traces are drawn in, from the left edge of the host. */
  get area(): { left: number; width: number; height: number; top: number } {
    const ratio = devicePixelRatio
    const { left, top, width, height } = this.#plot.bbox
    return { left: left / ratio, top: top / ratio, width: width / ratio, height: height / ratio }
  }

  resize(width: number, height: number): void {
    if (width === this.#width && height === this.#height) return
    this.#width = width
    this.#height = height
    this.#plot.setSize({ width, height })
  }

  restyle(): void {
    this.#hatches.clear()
  }

  draw(frame: PlotFrame): void {
    this.#frame = frame
    this.#plot.batch(() => {
      this.#plot.setData(this.#data(frame.picture), false)
      this.#plot.setScale('x', { min: frame.fromMs, max: frame.toMs })
      this.#plot.setScale('y', { min: frame.range.min, max: frame.range.max })
    })
  }

  destroy(): void {
    this.#plot.destroy()
  }

  #data(picture: Picture): uPlot.AlignedData {
    return [picture.x, ...this.#styles.map((_, i) => picture.columns[i]?.mean ?? [])]
  }

  #options(theme: PlotTheme, showsTime: boolean): uPlot.Options {
    const fixed = (_: uPlot, min: number | null, max: number | null): uPlot.Range.MinMax => [min, max]
    return {
      width: this.#width,
      height: this.#height,
      ms: 1,
      pxAlign: false,
      padding: [TITLE_HEIGHT, () => (this.#labelsInside ? 12 : labelWidth()), showsTime ? 0 : 8, 0],
      cursor: { show: false },
      legend: { show: false },
      select: { show: false, left: 0, top: 0, width: 0, height: 0 },
      scales: { x: { time: false, auto: false, range: fixed }, y: { auto: false, range: fixed } },
      axes: [this.#timeAxis(theme, showsTime), this.#valueAxis(theme)],
      series: [
        {},
        // Painted below, not by the library: see #paintTraces.
        ...this.#styles.map(() => ({ scale: 'y', auto: false, points: { show: false }, paths: () => null })),
      ],
      hooks: {
        drawClear: [
          () => this.#paint((frame) => this.#paintLayer(frame, frame.under)),
          () => this.#paint((frame) => this.#paintExpected(frame)),
          () => this.#paint((frame) => this.#paintGaps(frame)),
        ],
        drawAxes: [
          () => this.#paint((frame) => this.#paintTraces(frame)),
          () => this.#paint((frame) => this.#paintLayer(frame, frame.over)),
        ],
        draw: [() => this.#paint((frame) => this.#paintMarks(frame))],
      },
    }
  }

  get #labelsInside(): boolean {
    return this.#width < LABELS_INSIDE_UNDER
  }

  get #theme(): PlotTheme | undefined {
    return this.#frame?.theme
  }

  #axisLook(theme: PlotTheme): Pick<uPlot.Axis, 'stroke' | 'font' | 'grid' | 'ticks'> {
    const line = () => this.#theme?.line ?? theme.line
    return {
      stroke: () => this.#theme?.inkSoft ?? theme.inkSoft,
      font: theme.font,
      grid: { stroke: line, width: 1 },
      ticks: { stroke: line, width: 1, size: 6 },
    }
  }

  #timeAxis(theme: PlotTheme, showsTime: boolean): uPlot.Axis {
    let step = 1000
    return {
      ...this.#axisLook(theme),
      side: 2,
      size: showsTime ? TIME_AXIS_HEIGHT : 0,
      splits: (u, _axis, min, max) => {
        step = timeStep(max - min, u.bbox.width / devicePixelRatio / TIME_LABEL_SPACE)
        return timeTicks(min, max, step, localOffsetMs(min))
      },
      values: (_u, splits) => splits.map((t) => (showsTime ? tickText(t, step) : '')),
    }
  }

  #valueAxis(theme: PlotTheme): uPlot.Axis {
    let step = 1
    return {
      ...this.#axisLook(theme),
      side: 3,
      size: AXIS_WIDTH,
      splits: (u, _axis, min, max) => {
        const height = u.bbox.height / devicePixelRatio
        const most = Math.max(2, height / (height < LOW_PLOT ? LOW_LABEL_SPACE : VALUE_LABEL_SPACE))
        step = roundStep((max - min) / most)
        const first = Math.ceil(min / step - 1e-9)
        const last = Math.floor(max / step + 1e-9)
        return Array.from({ length: Math.max(0, last - first + 1) }, (_, i) => (first + i) * step)
      },
      values: (_u, splits) =>
        splits.map((v) => (this.#frame?.range === UNSCALED ? '' : formatNumber(v, decimalsFor(step)))),
    }
  }

  /** Paints on the canvas and leaves its styles as the library knows them. */
  #paint(work: (frame: PlotFrame) => void): void {
    if (this.#frame === null) return
    const { ctx } = this.#plot
    ctx.save()
    work(this.#frame)
    ctx.restore()
  }

  #clip(): void {
    const { ctx, bbox } = this.#plot
    ctx.beginPath()
    ctx.rect(bbox.left, bbox.top, bbox.width, bbox.height)
    ctx.clip()
  }

  #paintLayer({ theme }: PlotFrame, paint: Painter | undefined): void {
    if (paint === undefined) return
    this.#clip()
    paint(this.#plot.ctx, projection(this.#plot), this.#plot.bbox, theme)
  }

  /**
   * Bands first, then lines, so that no line lies under the other side's band. Single rectangles on
   * whole pixels and bevelled joints cost a software canvas 5 ms a frame; one path of rectangles with
   * round joints cost it 50.
   */
  #paintTraces({ picture, bucketMs, rowMs, theme }: PlotFrame): void {
    const { ctx } = this.#plot
    const to = projection(this.#plot)
    const dash = { onMs: DASH_ON_PX * bucketMs, periodMs: DASH_PERIOD_PX * bucketMs }
    const barWidth = Math.max(devicePixelRatio, rowMs === undefined ? 0 : to.x(rowMs) - to.x(0))
    this.#clip()
    for (const [i, style] of this.#styles.entries()) {
      ctx.globalAlpha = style.tone === 'neutral' ? NEUTRAL_BAND_ALPHA : BAND_ALPHA
      ctx.fillStyle = theme.colours[style.tone]
      const column = picture.columns[i]
      if (column !== undefined) paintBand(ctx, picture.x, column, to, barWidth)
    }
    ctx.globalAlpha = 1
    ctx.lineJoin = 'bevel'
    for (const [i, style] of this.#styles.entries()) {
      ctx.strokeStyle = theme.colours[style.tone]
      const column = picture.columns[i]
      if (column === undefined) continue
      ctx.lineWidth = LINE_WIDTH * devicePixelRatio
      ctx.stroke(linePath(picture.x, column, to, style.isDashed ? dash : null))
      // Between the dashes a hair line: no sample may hide there.
      ctx.lineWidth = devicePixelRatio
      ctx.globalAlpha = BETWEEN_DASHES_ALPHA
      if (style.isDashed) ctx.stroke(linePath(picture.x, column, to, null))
      ctx.globalAlpha = 1
    }
  }

  /** What was expected of each side, behind everything: its band, and its middle as a hair line. */
  #paintExpected({ bands, theme }: PlotFrame): void {
    const { ctx } = this.#plot
    const to = projection(this.#plot)
    this.#clip()
    for (const [i, style] of this.#styles.entries()) {
      ctx.fillStyle = theme.colours[style.tone]
      ctx.strokeStyle = theme.colours[style.tone]
      ctx.lineWidth = devicePixelRatio
      for (const stretch of bands[i]?.stretches ?? []) {
        const { outline, middle } = bandPaths(stretch, to)
        ctx.globalAlpha = EXPECTED_ALPHA
        ctx.fill(outline)
        ctx.globalAlpha = EXPECTED_MIDDLE_ALPHA
        ctx.stroke(middle)
      }
    }
  }

  /** Hatching where a side has nothing to draw: the slope tells whose it is, both together cross. */
  #paintGaps(frame: PlotFrame): void {
    const { ctx, bbox } = this.#plot
    const to = projection(this.#plot)
    this.#clip()
    const fill = ({ fromMs, toMs }: Stretch, style: TraceStyle) => {
      const left = to.x(fromMs)
      const width = Math.max(2 * devicePixelRatio, to.x(toMs) - left)
      const isNarrow = width < HATCH_FROM_PX * devicePixelRatio
      ctx.globalAlpha = isNarrow ? NARROW_GAP_ALPHA : 1
      ctx.fillStyle = isNarrow ? frame.theme.colours[style.tone] : this.#hatch(frame.theme, style)
      ctx.fillRect(left, bbox.top, width, bbox.height)
    }
    for (const [i, style] of this.#styles.entries()) {
      for (const stretch of emptyStretches(frame.picture.cells, i, frame.bucketMs)) fill(stretch, style)
      if (frame.silentFromMs !== null) fill({ fromMs: frame.silentFromMs, toMs: frame.toMs }, style)
    }
  }

  #hatch(theme: PlotTheme, style: TraceStyle): CanvasPattern {
    const known = this.#hatches.get(style.label)
    if (known !== undefined) return known
    const made = hatchPattern(this.#plot.ctx, theme.colours[style.tone], style.isDashed)
    this.#hatches.set(style.label, made)
    return made
  }

  #paintMarks(frame: PlotFrame): void {
    this.#paintUncertain(frame)
    this.#paintBlank(frame)
    this.#paintLabels(frame)
    this.#paintUnit(frame)
  }

  /** A bar on the lower edge, a lane a side, under samples that are only uncertain. */
  #paintUncertain(frame: PlotFrame): void {
    const { ctx, bbox } = this.#plot
    const to = projection(this.#plot)
    const lane = 4 * devicePixelRatio
    for (const [i, style] of this.#styles.entries()) {
      ctx.fillStyle = frame.theme.colours[style.tone]
      for (const { fromMs, toMs } of uncertainStretches(frame.picture.cells, i, frame.bucketMs)) {
        const left = Math.max(bbox.left, to.x(fromMs))
        const right = Math.min(bbox.left + bbox.width, to.x(toMs))
        if (right > left) ctx.fillRect(left, bbox.top + bbox.height - lane * (1.5 * i + 1), right - left, lane)
      }
    }
  }

  /** Says in the picture that what is empty was never recorded. */
  #paintBlank(frame: PlotFrame): void {
    const { ctx, bbox } = this.#plot
    const endMs = Math.min(frame.oldestMs ?? frame.toMs, frame.toMs)
    const width = projection(this.#plot).x(endMs) - bbox.left
    const text = told(frame.oldestMs === null ? 'no samples yet' : `recorded from ${clockText(frame.oldestMs, 1000)}`)
    ctx.font = scaledFont(frame.theme.font)
    if (width < ctx.measureText(text).width + 24 * devicePixelRatio) return
    ctx.fillStyle = frame.theme.inkSoft
    ctx.textAlign = 'center'
    ctx.textBaseline = 'middle'
    ctx.fillText(text, bbox.left + width / 2, bbox.top + bbox.height / 2)
  }

  /** The words at the end of each line: beside the plot, or in it on a narrow one, above the upper and below the lower. */
  #paintLabels(frame: PlotFrame): void {
    const { ctx, bbox } = this.#plot
    const ratio = devicePixelRatio
    ctx.font = scaledFont(frame.theme.font)
    ctx.textBaseline = 'middle'
    ctx.textAlign = 'left'
    const right = bbox.left + bbox.width
    for (const { style, y } of this.#labelsInside ? this.#insideLabels(frame) : this.#besideLabels(frame)) {
      const isInside = this.#labelsInside
      const left = isInside ? right - ctx.measureText(told(style.label)).width - 26 * ratio : right + 8 * ratio
      paintLabel(ctx, frame.theme, style, left, y)
    }
  }

  #besideLabels(frame: PlotFrame): Label[] {
    const { bbox } = this.#plot
    const to = projection(this.#plot)
    const labels = this.#styles.flatMap((style, i) => {
      const level = endLevel(frame.picture.columns[i]?.mean ?? [])
      return level === null ? [] : [{ style, y: to.y(level) }]
    })
    const margin = 8 * devicePixelRatio
    spread(labels, 18 * devicePixelRatio, bbox.top + margin, bbox.top + bbox.height - margin)
    return labels
  }

  #insideLabels(frame: PlotFrame): Label[] {
    // A single line is named by the title above it: words over it would only hide it.
    if (this.#styles.length === 1) return []
    const { bbox } = this.#plot
    const to = projection(this.#plot)
    const ends = this.#styles.flatMap((style, i) => {
      const end = endExtent(frame.picture.columns[i])
      return end === null ? [] : [{ style, ...end }]
    })
    ends.sort((a, b) => b.hi - a.hi)
    const margin = 11 * devicePixelRatio
    const labels = ends.map(({ style, lo, hi }, place) => ({
      style,
      y: place === 0 ? to.y(hi) - margin : to.y(lo) + margin,
    }))
    spread(labels, 18 * devicePixelRatio, bbox.top + margin, bbox.top + bbox.height - margin)
    return labels
  }

  #paintUnit(frame: PlotFrame): void {
    const { ctx, bbox } = this.#plot
    ctx.font = scaledFont(frame.theme.font)
    ctx.fillStyle = frame.theme.inkSoft
    ctx.textAlign = 'left'
    ctx.textBaseline = 'middle'
    // A title wider than the plot is drawn narrower, never cut off.
    ctx.fillText(told(frame.unit), bbox.left, bbox.top - (TITLE_HEIGHT / 2) * devicePixelRatio, bbox.width)
  }
}

function scaledFont(font: string): string {
  return font.replace(/^(\d+(?:\.\d+)?)px/, (_, size) => `${Number(size) * devicePixelRatio}px`)
}

function projection(u: uPlot): Projection {
  const { left, top, width, height } = u.bbox
  const { min: x0 = 0, max: x1 = 1 } = u.scales.x ?? {}
  const { min: y0 = 0, max: y1 = 1 } = u.scales.y ?? {}
  return {
    x: (t) => left + ((t - x0) / (x1 - x0)) * width,
    y: (v) => top + ((y1 - v) / (y1 - y0)) * height,
  }
}
