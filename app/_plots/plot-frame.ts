import type uPlot from 'uplot'
import type { ExpectedBand } from './expected-band.ts'
import type { Picture } from './picture.ts'
import type { PlotTheme } from './plot-theme.ts'
import type { Projection } from './trace-paths.ts'
import type { Range } from './y-range.ts'

/** What a page paints into a plot of its own: on the canvas, clipped to the area of the traces. */
export type Painter = (ctx: CanvasRenderingContext2D, to: Projection, area: uPlot.BBox, theme: PlotTheme) => void

/** What one drawing of a plot shows. */
export interface PlotFrame {
  readonly picture: Picture
  /** What was expected, a band a column. */
  readonly bands: readonly ExpectedBand[]
  readonly fromMs: number
  readonly toMs: number
  readonly bucketMs: number
  readonly range: Range
  readonly unit: string
  readonly theme: PlotTheme
  /** Oldest row there is; before it nothing was recorded. Null when there is none. */
  readonly oldestMs: number | null
  /** Newest row, while it is older than the gap rule allows. */
  readonly silentFromMs: number | null
  /** Width of one row where it is more than a pixel; the bars of lowest to highest are as wide. */
  readonly rowMs?: number
  /** Painted behind the traces and before them. */
  readonly under?: Painter
  readonly over?: Painter
}
