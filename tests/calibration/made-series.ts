import type { CalibrationOptions } from '../../lib/calibration/calibrate.ts'
import type { CalibrationReading } from '../../lib/calibration/series.ts'

export const PLAIN: CalibrationOptions = {
  unit: 'mA',
  forceScale: [],
  resolution: 0,
  spanN: null,
  expectedGain: null,
  limits: {},
}

export interface MadeCell {
  readonly zero: number
  /** Signal per newton. */
  readonly slope: number
  /** Share of the force that friction adds on the way up and takes on the way down. */
  readonly friction?: number
  /** Added to the reading: (force, cycle, direction). */
  readonly error?: (force: number, cycle: number, direction: 'up' | 'down') => number
}

/** Up and down through the forces, the highest read on the way up alone, as a technician does it. */
export function madeSeries(cell: MadeCell, forces: readonly number[], cycles: number): CalibrationReading[] {
  const readings: CalibrationReading[] = []
  const read = (force: number, cycle: number, direction: 'up' | 'down') => {
    const sign = direction === 'up' ? 1 : -1
    const pull = force * (1 + sign * (cell.friction ?? 0))
    const reading = cell.zero + cell.slope * pull + (cell.error?.(force, cycle, direction) ?? 0)
    readings.push({ cycle, direction, force, reading })
  }
  for (let cycle = 1; cycle <= cycles; cycle += 1) {
    for (const force of forces) read(force, cycle, 'up')
    for (const force of [...forces].reverse().slice(1)) read(force, cycle, 'down')
  }
  return readings
}
