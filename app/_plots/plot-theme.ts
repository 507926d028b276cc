/** Colours and type of a plot, read from the page's tokens where the plot stands. */
export interface PlotTheme {
  readonly ink: string
  readonly inkSoft: string
  readonly line: string
  readonly ground: string
  readonly font: string
  readonly colours: Readonly<Record<TraceTone, string>>
}

/** Which token colours a trace: one of the two sides, or neutral. */
export type TraceTone = 'drive' | 'operator' | 'neutral'

/** How one column is told from the others: colour, line and words. */
export interface TraceStyle {
  readonly label: string
  readonly tone: TraceTone
  readonly isDashed: boolean
}

export function readPlotTheme(host: Element): PlotTheme {
  const style = getComputedStyle(host)
  const token = (name: string) => style.getPropertyValue(name).trim()
  return {
    ink: token('--ink'),
    inkSoft: token('--ink-soft'),
    line: token('--line'),
    ground: token('--raised'),
    font: `12px ${token('--face') || 'sans-serif'}`,
    colours: { drive: token('--drive'), operator: token('--operator'), neutral: token('--single') },
  }
}
