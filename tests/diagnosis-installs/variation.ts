import { diagnosisContextOf } from '../../lib/diagnosis/context.ts'
import { posteriorOf } from '../../lib/diagnosis/posterior.ts'
import { thresholdsOf } from '../../lib/diagnosis/thresholds.ts'
import { FAULT_IDS, type FaultId, ONE_SIDED_FAULTS } from '../../shared/faults.ts'
import type { Side } from '../../simulator/faults/fault.ts'
import { FAULTS } from '../../simulator/faults/registry.ts'
import { RandomStream } from '../../simulator/physics/random.ts'
import { findScenario } from '../../simulator/scenarios/registry.ts'
import { type InstallOptions, SimulatedInstall } from './simulated-install.ts'
import { simulatorUnits } from './simulated-size.ts'
import { verify } from './verify.ts'

/** Lines of the plant with a speed and a tension that each runs at. */
export const LINES = [
  { id: 'install', speedMMin: 80, newtons: 180 },
  { id: 'wide-film', speedMMin: 100, newtons: 100 },
  { id: 'fast-paper', speedMMin: 250, newtons: 200 },
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
  'idler-slipping': 'wants a channel that tells the roller’s own turns; these lines have none',
}
export const TRIED = FAULT_IDS.filter((id) => NOT_TRIED[id] === undefined)

export interface Variation {
  readonly cause: FaultId | null
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
    return { cause, side: null, severity: 0, line: line.id, options: optionsOf(line.id, n + 1, unrest, []) }
  const side: Side | null = ONE_SIDED_FAULTS.has(cause)
    ? random.uniform() < 0.5
      ? 'drive_side'
      : 'operator_side'
    : null
  const threshold = thresholds.get(line.id)?.get(cause) ?? null
  if (threshold === null) return null
  const { most, eitherWay } = FAULTS[cause].severity
  const own = factorOn(line.id, cause)
  const [low, high] = [own * times[0] * threshold, Math.min(most, own * times[1] * threshold)]
  if (!isPresence(cause) && low > high) return null
  const size = isPresence(cause) ? 1 : low * (high / low) ** random.uniform()
  const severity = eitherWay === true && random.uniform() < 0.5 ? -size : size
  const fault = { fault: cause, zone: '', side, severity, onset: { kind: 'constant' as const } }
  const options = optionsOf(line.id, n + 1, unrest, [fault], !CAME_LATER.has(cause), random)
  return { cause, side, severity, line: line.id, options }
}

function factorOn(line: LineId, cause: FaultId): number {
  const at = new SimulatedInstall(optionsOf(line, 1, 1, []))
  return simulatorUnits(cause, at, diagnosisContextOf(at.context).spanN ?? Number.NaN)
}

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
    scenario: findScenario(id),
    seed,
    faults,
    unrest,
    speedMMin: line.speedMMin * (0.8 + 0.4 * random.uniform()),
    newtons: line.newtons * (0.9 + 0.2 * random.uniform()),
    zeroTakenSince,
  }
}
