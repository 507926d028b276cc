import type { ZoneState } from '../physics/zone.ts'
import type { Reading } from '../technician/act.ts'
import type { Side } from '../technician/bench.ts'
import { strongestLine } from './lines.ts'
import { SIDES, type Trial } from './place.ts'

/** How often a look samples, Hz: as the example configs poll. */
const RATE_HZ = 100
const STEP_S = 0.001
/** A figure as Live tells it rests on certificate and zero as well: common practice, no source. */
const U_SHARE = 0.003
const U_OF_RATED = 0.0005
/** Samples of a filtered, wandering signal that count as one (common practice, no source). */
const ALIKE = 25
/** Below this share of the rated output of both cells a side difference has no meaning. */
const LEAST_LOAD = 0.03

/** What both channels showed for a while. */
export interface Look {
  readonly signals: Readonly<Record<Side, readonly number[]>>
  readonly open: Readonly<Record<Side, number>>
  readonly saturated: Readonly<Record<Side, number>>
  /** Mean speed, m/s; radii of the roller and of the one before it, m. */
  readonly speed: number
  readonly radius: number
  readonly radiusBefore: number
  readonly rated: number
}

/** Looks at both channels for `seconds` of the machine's time. */
export function look({ machine }: Trial, zone: string, seconds: number): Look {
  const signals: Record<Side, number[]> = { drive_side: [], operator_side: [] }
  const open = { drive_side: 0, operator_side: 0 }
  const saturated = { drive_side: 0, operator_side: 0 }
  let speed = 0
  const count = Math.round(seconds * RATE_HZ)
  for (let i = 0; i < count; i++) {
    for (let j = 0; j < 1 / RATE_HZ / STEP_S; j++) machine.step(STEP_S)
    const { cells } = machine.state.zones[zone] as ZoneState
    for (const side of SIDES) {
      signals[side].push(cells[side].output)
      open[side] += cells[side].open ? 1 : 0
      saturated[side] += cells[side].saturated ? 1 : 0
    }
    speed += machine.state.speed / count
  }
  const { path, cells } = machine.parameters.zones[zone] as NonNullable<(typeof machine.parameters.zones)[string]>
  const rated = cells.drive_side.ratedOutput
  return { signals, open, saturated, speed, radius: path.measuring.radius, radiusBefore: path.before.radius, rated }
}

/** Instruments of Live at a look: `what` says when it was. Lines are told where there are seconds enough for them. */
export function readingsOf(seen: Look, what: string, withLines: boolean): Reading[] {
  const name = (figure: string) => `${figure}, ${what}`
  const found: Reading[] = SIDES.flatMap((side) => sideReadings(seen, side, name))
  const difference = sideDifference(seen, name('side difference'))
  if (difference !== null) found.push(difference)
  return withLines ? [...found, ...lineReadings(seen, name)] : found
}

function sideReadings(
  { signals, open, saturated, rated }: Look,
  side: Side,
  name: (figure: string) => string,
): Reading[] {
  const values = signals[side]
  const gone = open[side]
  const seen = (figure: string, value: boolean): Reading => ({ figure: name(figure), side, value, unit: null, u: null })
  const lost = seen('wire break', gone > 0)
  const ended = seen('at the end of its range', saturated[side] > 0)
  const stands = seen('stands still', new Set(values).size === 1)
  // What is no signal is not averaged into one.
  if (gone > 0) return [lost, ended]
  const { mean, spread } = moments(values)
  const independent = Math.max(2, values.length / ALIKE)
  const u = Math.hypot(spread / Math.sqrt(independent), U_SHARE * mean, U_OF_RATED * rated)
  const noiseU = Math.hypot(spread / Math.sqrt(2 * (independent - 1)), 2e-4 * rated)
  return [
    { figure: name('signal'), side, value: mean, unit: 'mV/V', u },
    { figure: name('noise'), side, value: spread, unit: 'mV/V', u: noiseU },
    lost,
    ended,
    stands,
    { figure: name('steps'), side, value: steps(values) < FEW_STEPS ? 'few' : 'many', unit: null, u: null },
  ]
}

/** Fewer distinct values than this while the signal moves are seen as steps (common practice, no source). */
const FEW_STEPS = 8

function steps(values: readonly number[]): number {
  return new Set(values).size
}

/** Mean, and standard deviation about a straight line. */
export function moments(values: readonly number[]): { readonly mean: number; readonly spread: number } {
  const n = values.length
  const mean = values.reduce((sum, value) => sum + value, 0) / n
  const middle = (n - 1) / 2
  let xy = 0
  let xx = 0
  let yy = 0
  values.forEach((value, i) => {
    xy += (i - middle) * (value - mean)
    xx += (i - middle) ** 2
    yy += (value - mean) ** 2
  })
  const left = yy - (xx > 0 ? (xy * xy) / xx : 0)
  return { mean, spread: Math.sqrt(Math.max(0, left) / Math.max(1, n - 2)) }
}

function sideDifference({ signals, open, rated }: Look, figure: string): Reading | null {
  if (open.drive_side > 0 || open.operator_side > 0) return null
  const ds = moments(signals.drive_side)
  const os = moments(signals.operator_side)
  const sum = ds.mean + os.mean
  if (Math.abs(sum) < LEAST_LOAD * 2 * rated) return null
  const u = (side: { mean: number; spread: number }) =>
    Math.hypot(U_SHARE * side.mean, U_OF_RATED * rated, side.spread / Math.sqrt(signals.drive_side.length / ALIKE))
  return {
    figure,
    value: (100 * (os.mean - ds.mean)) / sum,
    unit: '%',
    u: (200 * Math.hypot(os.mean * u(ds), ds.mean * u(os))) / (sum * sum),
  }
}

function lineReadings(seen: Look, name: (figure: string) => string): Reading[] {
  const { signals, speed, radius, radiusBefore } = seen
  const total = signals.drive_side.map((value, i) => value + (signals.operator_side[i] ?? 0))
  const turn = speed / (2 * Math.PI * radius)
  const before = speed / (2 * Math.PI * radiusBefore)
  const read = (figure: string, low: number, high: number): Reading[] => {
    const line = strongestLine(total, RATE_HZ, low, high)
    return [
      { figure: name(`${figure}: amplitude`), value: line.amplitude, unit: 'mV/V', u: line.uAmplitude },
      ...(line.stands ? [{ figure: name(`${figure}: rate`), value: line.hz, unit: 'Hz', u: line.uHz } as const] : []),
    ]
  }
  const mains = read('line of the mains', 49, 50)
  if (turn < 0.2) return mains
  const near = (hz: number) => [0.94 * hz, 1.06 * hz] as const
  const slow = read('line under the roller’s turn', 0.2 * turn, 0.93 * turn)
  return [
    ...read('line of the roller’s turn', ...near(turn)),
    ...slow,
    ...read('line of the neighbour’s turn', ...near(before)),
    ...mains,
  ]
}
