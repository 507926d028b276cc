import { diagnosisContextOf } from '../../lib/diagnosis/context.ts'
import { posteriorOf } from '../../lib/diagnosis/posterior.ts'
import { thresholdsOf } from '../../lib/diagnosis/thresholds.ts'
import { FAULT_IDS, type FaultId, ONE_SIDED_FAULTS } from '../../shared/faults.ts'
import type { Side } from '../../simulator/faults/fault.ts'
import { FAULTS } from '../../simulator/faults/registry.ts'
import { RandomStream } from '../../simulator/physics/random.ts'
import { findScenario } from '../../simulator/scenarios/registry.ts'
import { type InstallOptions, SimulatedInstall } from './simulated-install.ts'
import { simulated } from './simulated-size.ts'
import { verify } from './verify.ts'

/** Lines of the plant with a speed and a tension that each runs at; one of them at two speeds. */
export const LINES = [
  { id: 'install', scenario: 'install', speedMMin: 80, newtons: 180 },
  { id: 'wide-film', scenario: 'wide-film', speedMMin: 100, newtons: 100 },
  { id: 'fast-paper', scenario: 'fast-paper', speedMMin: 300, newtons: 200 },
  { id: 'fastest-paper', scenario: 'fast-paper', speedMMin: 500, newtons: 200 },
] as const
export type LineId = (typeof LINES)[number]['id']

/** Faults that are there when the zero is taken: whoever fitted the cells did not see them. The others come later. */
const CAME_LATER: ReadonlySet<FaultId> = new Set([
  'zero-wrong',
  'overloaded-cell',
  'cell-temperature-gradient',
  'thermal-zero-drift',
  'moisture',
  'clearance-closed',
  'open-bridge',
  'stuck-value',
  'channel-fault',
  'span-drift',
])

/** What these tests cannot find on these lines, and why; told, not counted. */
export const NOT_TRIED: Readonly<Partial<Record<FaultId, string>>> = {
  'span-drift': 'wants hours of warm running',
  'thermal-zero-drift': 'wants hours of warm running over a range of temperatures',
}
/** On the fastest line the roller turns faster than the amplifier's filter lets pass: how its line grows with speed is not seen. */
export const TOO_FAST: ReadonlySet<FaultId> = new Set(['roller-unbalance', 'roller-runout'])
export const TRIED = FAULT_IDS.filter((id) => NOT_TRIED[id] === undefined)

export interface Variation {
  readonly cause: FaultId | null
  readonly n: number
  /** Size over the threshold of its line. */
  readonly times: number
  readonly side: Side | null
  readonly severity: number
  readonly line: LineId
  readonly options: InstallOptions
}

const isPresence = (id: FaultId): boolean => FAULTS[id].severity.least === 1 && FAULTS[id].severity.most <= 3

/** From which size on a whole verification of this line would find each cause, in the fault's own unit: what diagnosis itself prints. */
export function thresholdsOn(line: LineId): ReadonlyMap<FaultId, number | null> {
  const at = new SimulatedInstall(optionsOf(line, 1, 1, []))
  const { features } = verify(at, Number.POSITIVE_INFINITY)
  const found = thresholdsOf(posteriorOf(features, diagnosisContextOf(at.context)))
  const sizes = new Map<FaultId, number | null>()
  for (const { hypothesis, size } of found) {
    if (hypothesis.cause === null) continue
    const known = sizes.get(hypothesis.cause.id)
    // Of both sides the worse one.
    sizes.set(hypothesis.cause.id, known === null || size === null ? null : Math.max(known ?? 0, size))
  }
  return sizes
}

/**
 * The n-th install with this cause: line, side, sign, noise, speed, tension and size of their own. `times` tells between
 * how many thresholds the size lies. Null where the line cannot have the fault in this size.
 */
export function variation(
  cause: FaultId | null,
  n: number,
  thresholds: ReadonlyMap<LineId, ReadonlyMap<FaultId, number | null>>,
  times: readonly [number, number],
): Variation | null {
  const random = new RandomStream(n + 1, `variation ${cause ?? 'healthy'}`)
  const line = LINES[n % LINES.length] ?? LINES[0]
  const unrest = Math.exp(0.4 * (2 * random.uniform() - 1))
  if (cause === null)
    return {
      cause,
      n,
      times: 0,
      side: null,
      severity: 0,
      line: line.id,
      options: optionsOf(line.id, n + 1, unrest, []),
    }
  const side: Side | null = ONE_SIDED_FAULTS.has(cause)
    ? random.uniform() < 0.5
      ? 'drive_side'
      : 'operator_side'
    : null
  const threshold = thresholds.get(line.id)?.get(cause) ?? null
  if (threshold === null || (line.id === 'fastest-paper' && TOO_FAST.has(cause))) return null
  const sound = optionsOf(line.id, n + 1, unrest, [], !CAME_LATER.has(cause), random)
  const { least, most, eitherWay } = FAULTS[cause].severity
  // What is there or not, in kinds: as large as it is.
  const size = isPresence(cause)
    ? Math.floor(least + (most - least + 1) * random.uniform())
    : threshold * times[0] * (reachOf(cause, threshold, times, sound) / times[0]) ** random.uniform()
  const found = isPresence(cause) ? { size, options: sound } : simulated(cause, size, sound)
  if (found === null || found.size > most * (1 + 1e-9)) return null
  const severity = eitherWay === true && random.uniform() < 0.5 ? -found.size : found.size
  const fault = { fault: cause, zone: '', side, severity, onset: { kind: 'constant' as const } }
  const options = { ...found.options, faults: [fault] }
  if (!isPossible(options)) return null
  if (!isPresence(cause)) return { cause, n, times: size / threshold, side, severity, line: line.id, options }
  const ofThreshold = cause === 'other-path' ? pathPercent(options) / threshold : PRESENT
  return ofThreshold < times[0] ? null : { cause, n, times: ofThreshold, side, severity, line: line.id, options }
}

/** The largest number of thresholds that the simulator can make of it; at least the smallest that is asked for. */
function reachOf(
  cause: FaultId,
  threshold: number,
  [least, most]: readonly [number, number],
  sound: InstallOptions,
): number {
  if (cause === 'saturation') return Math.max(least, Math.min(most, MOST_AT_END / threshold))
  const smallest = simulated(cause, threshold * least, sound)
  return smallest === null
    ? least
    : Math.max(least, Math.min(most, (least * FAULTS[cause].severity.most) / smallest.size))
}

/** Two of the four points at most stand at the end, %. */
const MOST_AT_END = 48

/** What is there or not is as large as it can be. */
const PRESENT = Number.POSITIVE_INFINITY

/** A web that cannot run that way cannot be tried. */
function isPossible(options: InstallOptions): boolean {
  try {
    new SimulatedInstall({ ...options, zeroTakenSince: false })
    return true
  } catch (error) {
    if (error instanceof RangeError) return false
    throw error
  }
}

/** By how much the force of the web along the arrows is another one on the path that it runs, %. */
function pathPercent(options: InstallOptions): number {
  const [is, was] = [options, { ...options, faults: [] }].map((one) => {
    const { machine, context } = new SimulatedInstall({ ...one, zeroTakenSince: false })
    const { x, y } = machine.resultant(context.zone.id)
    const { drive_side: side } = (machine.parameters.zones[context.zone.id] as { cells: BothCells }).cells
    return x * Math.cos(side.arrow) + y * Math.sin(side.arrow)
  })
  return Math.abs(100 * ((is ?? Number.NaN) / (was ?? Number.NaN) - 1))
}

type BothCells = { readonly drive_side: { readonly arrow: number } }

function optionsOf(
  id: LineId,
  seed: number,
  unrest: number,
  faults: InstallOptions['faults'],
  zeroTakenSince = true,
  random = new RandomStream(seed, 'line'),
): InstallOptions {
  const line = LINES.find((one) => one.id === id) ?? LINES[0]
  return {
    scenario: findScenario(line.scenario),
    seed,
    faults,
    unrest,
    speedMMin: line.speedMMin * (0.8 + 0.4 * random.uniform()),
    newtons: line.newtons * (0.9 + 0.2 * random.uniform()),
    zeroTakenSince,
  }
}
