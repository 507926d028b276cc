import type { UncertaintyInput } from '../statistics/systematic.ts'
import type { CalibrationLine } from './line.ts'
import type { CalibrationPoint } from './points.ts'
import { type Scatter, scatterOf } from './scatter.ts'
import type { Direction, Level } from './series.ts'

/** What every figure of a series is told from. */
export interface CalibrationContext {
  readonly levels: readonly Level[]
  readonly points: readonly CalibrationPoint[]
  readonly line: CalibrationLine
  /** Scatter of one reading and of one point; undefined when nothing tells it. */
  readonly readingScatter: Scatter | undefined
  readonly pointScatter: Scatter | undefined
  /** The reading's step, in the signal's unit; 0 when it has none. */
  readonly resolution: number
  /** The span in the signal's unit, |b|·span, and in newtons. */
  readonly spanReading: number
  readonly spanN: number
}

/** The scatter within each force and direction, and that of the points within each force. */
export function scattersOf(levels: readonly Level[], points: readonly CalibrationPoint[]) {
  const inDirection = (direction: Direction) =>
    levels.map(({ cycles }) => cycles.flatMap((point) => point[direction] ?? []))
  const stated = levels.flatMap(({ cycles }) =>
    cycles.flatMap(({ up, down, uUp, uDown }) => [...(up === null ? [] : [uUp]), ...(down === null ? [] : [uDown])]),
  )
  const pointGroups = levels.map(({ force }) => points.filter((p) => p.force === force).map((p) => p.reading))
  return {
    readingScatter: scatterOf([...inDirection('up'), ...inDirection('down')], stated),
    pointScatter: scatterOf(
      pointGroups,
      points.map(({ u }) => u),
    ),
  }
}

/** One step of the reading is a rectangle of that width (JCGM 100, F.2.2.1). */
export function resolutionInput(
  { resolution }: CalibrationContext,
  unit: string,
  sensitivity: number,
): UncertaintyInput[] {
  if (resolution === 0) return []
  const u = resolution / Math.sqrt(12)
  return [{ name: 'resolution of the reading', value: resolution, unit, u, contribution: Math.abs(sensitivity) * u }]
}
