/** One steady reading of one cell with a known force on it. */
export interface CalibrationReading {
  /** Which run up and down it belongs to. */
  readonly cycle: number
  /** Whether the force was reached from below or from above. The zero before loading is up, after it down. */
  readonly direction: Direction
  /** Known force along the arrow, N; 0 for the bare roller. */
  readonly force: number
  /** In the signal's unit. */
  readonly reading: number
  /** Standard uncertainty of the reading, same unit: from the scatter while it was captured. */
  readonly u?: number
}

export type Direction = 'up' | 'down'

/** What one cycle read at one force. */
export interface CyclePoint {
  readonly cycle: number
  readonly up: number | null
  readonly down: number | null
  /** Standard uncertainty stated for up and down; null when not stated. */
  readonly uUp: number | null
  readonly uDown: number | null
}

/** Everything read at one force. */
export interface Level {
  readonly force: number
  readonly cycles: readonly CyclePoint[]
}

/** Forces closer than this share of the largest are one level: the same weight, computed twice. */
const SAME_FORCE = 1e-9

/**
 * The readings by force and cycle, forces ascending. Several readings of one cycle, force and direction are
 * averaged. Order of the readings does not matter. No readings: no levels.
 */
export function levelsOf(readings: readonly CalibrationReading[]): Level[] {
  const largest = readings.reduce((most, { force }) => Math.max(most, Math.abs(force)), 0)
  const sorted = [...readings].sort((a, b) => a.force - b.force)
  const groups: CalibrationReading[][] = []
  for (const reading of sorted) {
    const group = groups.at(-1)
    const force = group?.[0]?.force
    if (group !== undefined && force !== undefined && reading.force - force <= SAME_FORCE * largest) group.push(reading)
    else groups.push([reading])
  }
  return groups.map((group) => ({ force: group[0]?.force ?? 0, cycles: cyclesOf(group) }))
}

function cyclesOf(readings: readonly CalibrationReading[]): CyclePoint[] {
  const numbers = [...new Set(readings.map(({ cycle }) => cycle))].sort((a, b) => a - b)
  return numbers.map((cycle) => {
    const up = averaged(readings.filter((r) => r.cycle === cycle && r.direction === 'up'))
    const down = averaged(readings.filter((r) => r.cycle === cycle && r.direction === 'down'))
    return { cycle, up: up.mean, down: down.mean, uUp: up.u, uDown: down.u }
  })
}

/** Mean, and the standard uncertainty of the mean of independent readings; null where one states none. */
function averaged(readings: readonly CalibrationReading[]): { mean: number | null; u: number | null } {
  const n = readings.length
  if (n === 0) return { mean: null, u: null }
  const mean = readings.reduce((sum, { reading }) => sum + reading, 0) / n
  const stated = readings.map(({ u }) => u)
  if (stated.some((u) => u === undefined)) return { mean, u: null }
  return { mean, u: Math.hypot(...stated.map((u) => u ?? 0)) / n }
}

/** How many cycles the series has. */
export const cycleCount = (levels: readonly Level[]): number =>
  new Set(levels.flatMap((level) => level.cycles.map(({ cycle }) => cycle))).size
