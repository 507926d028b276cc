import type { ExpectedPoint } from '../../shared/protocol/expected.ts'
import type { Side } from '../../shared/sample.ts'
import { SIDES } from '../_ui/sides.ts'
import { Decimator, type RowSource } from './decimate.ts'
import type { DrawnColumn } from './drawn-columns.ts'
import { bandExtent, type ExpectedBand, expectedBand } from './expected-band.ts'
import { allowedSilenceMs, type GapRule } from './gap-rule.ts'
import { extentOf, type Picture, pictureOf } from './picture.ts'
import type { PlotTheme } from './plot-theme.ts'
import { TracePlot } from './trace-plot.ts'
import { type Range, yRange } from './y-range.ts'

export interface Span {
  readonly fromMs: number
  readonly toMs: number
  readonly bucketMs: number
}

export interface DrawInputs {
  readonly source: RowSource | null
  /** Changes when the rows of `source` do. */
  readonly version: number
  readonly span: Span
  readonly fromZero: boolean
  readonly theme: PlotTheme
  readonly gaps: GapRule
  /** What was expected, in order of time; none for a zone without geometry. */
  readonly expected: readonly ExpectedPoint[]
}

const NOTHING: Picture = { x: [], columns: [], cells: [] }

/** From rows to pixels for one plot: buckets, arrays, scale, canvas. Draws only when something has changed. */
export class TraceDrawer {
  readonly plot: TracePlot
  readonly #columns: readonly DrawnColumn[]
  readonly #quantity: string
  #decimator: Decimator | null = null
  #source: RowSource | null = null
  #range: Range | null = null
  #fromZero = false
  #drawn: DrawInputs | null = null
  #isStale = true

  constructor(
    host: HTMLElement,
    columns: readonly DrawnColumn[],
    quantity: string,
    theme: PlotTheme,
    showsTime: boolean,
  ) {
    this.#columns = columns
    this.#quantity = quantity
    this.plot = new TracePlot(host, columns, theme, showsTime)
  }

  resize(width: number, height: number): void {
    this.plot.resize(width, height)
    this.#isStale = true
  }

  /** Returns whether it drew. */
  draw(inputs: DrawInputs): boolean {
    if (!this.#isStale && isSame(this.#drawn, inputs)) return false
    if (this.#drawn !== null && this.#drawn.theme !== inputs.theme) this.plot.restyle()
    if (this.#fromZero !== inputs.fromZero) this.#range = null
    this.#fromZero = inputs.fromZero
    const picture = this.#pictureOf(inputs)
    const bands = this.#bandsOf(inputs)
    this.#range = yRange(this.#range, together(extentOf(picture), bandExtent(bands)), inputs.fromZero)
    const { source, span, theme } = inputs
    this.plot.draw({
      picture,
      bands,
      ...span,
      range: this.#range,
      unit: `${this.#quantity}, ${this.#columns[0]?.unit ?? ''}`,
      theme,
      oldestMs: source === null || source.length === 0 ? null : source.timeAt(0),
      silentFromMs: silentFrom(source, span.toMs, inputs.gaps),
    })
    this.#drawn = inputs
    this.#isStale = false
    return true
  }

  destroy(): void {
    this.plot.destroy()
  }

  /** One band a column; nothing is expected of what is not a side. */
  #bandsOf({ expected, span }: DrawInputs): ExpectedBand[] {
    return this.#columns.map(({ name, map }) =>
      isSide(name) ? expectedBand(expected, name, map, span.fromMs, span.toMs) : { stretches: [] },
    )
  }

  #pictureOf({ source, span, gaps }: DrawInputs): Picture {
    if (source === null) return NOTHING
    if (source !== this.#source || this.#decimator?.options.bucketMs !== span.bucketMs) {
      this.#source = source
      this.#decimator = new Decimator({ columns: this.#columns.map((c) => c.index), bucketMs: span.bucketMs, gaps })
    }
    // A little before the view, so that its first line comes from where the signal was.
    const marginMs = Math.max(2 * span.bucketMs, gaps.holeMs)
    this.#decimator.update(source, span.fromMs - marginMs)
    const maps = this.#columns.map((c) => c.map)
    return pictureOf(this.#decimator.cells, span.fromMs, span.toMs, span.bucketMs, maps)
  }
}

const isSide = (name: DrawnColumn['name']): name is Side => name in SIDES

type Extent = { lo: number; hi: number } | null

/** Both in one scale; what is expected makes no scale where nothing was measured. */
function together(measured: Extent, expected: Extent): Extent {
  if (measured === null || expected === null) return measured
  return { lo: Math.min(measured.lo, expected.lo), hi: Math.max(measured.hi, expected.hi) }
}

function isSame(a: DrawInputs | null, b: DrawInputs): boolean {
  return (
    a !== null &&
    a.source === b.source &&
    a.version === b.version &&
    a.theme === b.theme &&
    a.fromZero === b.fromZero &&
    a.span.fromMs === b.span.fromMs &&
    a.span.toMs === b.span.toMs &&
    a.span.bucketMs === b.span.bucketMs
  )
}

/** Time of the newest row, when it is so old that the time since is a gap; null otherwise. */
function silentFrom(source: RowSource | null, toMs: number, gaps: GapRule): number | null {
  if (source === null || source.length === 0) return null
  const last = source.length - 1
  const newest = source.timeAt(last)
  return toMs - newest > allowedSilenceMs(gaps, source.envelopes()[last] === 1) ? newest : null
}
