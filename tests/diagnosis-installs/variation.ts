import { diagnosisContextOf } from '../../lib/diagnosis/context.ts'
import { posteriorOf } from '../../lib/diagnosis/posterior.ts'
import { thresholdsOf } from '../../lib/diagnosis/thresholds.ts'
import { type FaultId, ONE_SIDED_FAULTS } from '../../shared/faults.ts'
import type { DiagnosisFeature } from '../../shared/schemas/diagnosis.ts'
import type { Side } from '../../simulator/faults/fault.ts'
import { FAULTS } from '../../simulator/faults/registry.ts'
import { RandomStream } from '../../simulator/physics/random.ts'
import { LINES, type LineId, soundOptions } from './lines.ts'
import { isPossible, otherPath } from './other-path.ts'
import { type InstallOptions, SimulatedInstall } from './simulated-install.ts'
import { simulated } from './simulated-size.ts'
import { verify } from './verify.ts'

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

/** They move over hours: their running line is watched for so long, s. */
const HOURS: Readonly<Partial<Record<FaultId, number>>> = { 'span-drift': 10_800, 'thermal-zero-drift': 10_800 }
/** A sound install of every second is watched as long. */
const HEALTHY_WATCHED_S = 10_800
/** On the fastest line the roller turns faster than the amplifier's filter lets pass: how its line grows with speed is not seen. */
export const TOO_FAST: ReadonlySet<FaultId> = new Set(['roller-unbalance', 'roller-runout'])

export interface Variation {
  readonly cause: FaultId | null
  readonly n: number
  /** Size over the threshold of its line. */
  readonly times: number
  readonly side: Side | null
  readonly severity: number
  readonly line: LineId
  readonly options: InstallOptions
  /** For so long the running line was watched beforehand, s. */
  readonly watchedS: number
}

const isPresence = (id: FaultId): boolean => FAULTS[id].severity.least === 1 && FAULTS[id].severity.most <= 3

/** A whole verification of a sound install of a line. */
export interface Whole {
  /** From which size on it would find each cause, in the fault's own unit: what diagnosis itself prints. */
  readonly sizes: Sizes
  /** What it read. */
  readonly features: readonly DiagnosisFeature[]
}
export type Sizes = ReadonlyMap<FaultId, number | null>

export function wholeOf(line: LineId): Whole {
  const options = soundOptions(line, { seed: 1, unrest: 1, zeroTakenSince: true }, new RandomStream(1, 'line'))
  const at = new SimulatedInstall(options)
  const { features } = verify(at, Number.POSITIVE_INFINITY)
  return { features, sizes: sizesIn(at, features) }
}

function sizesIn(at: SimulatedInstall, features: readonly DiagnosisFeature[]): Sizes {
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

type ByLine = ReadonlyMap<LineId, Whole>

/**
 * The n-th install with this cause: line, side, sign, noise, speed, tension, hall and size of their own. `times` tells
 * between how many thresholds the size lies. The lines take turns; one that cannot have the fault in this size passes it
 * on to the next. Null where none can.
 */
export function variation(
  cause: FaultId | null,
  n: number,
  thresholds: ByLine,
  times: readonly [number, number],
): Variation | null {
  return onLineOf(n, (line) => {
    if (cause === null) return soundOne(n, line)
    const whole = thresholds.get(line)
    return whole === undefined ? null : onLine(cause, n, line, whole, times)
  })
}

/** The first line in turn of the n-th install on which something can be made. */
export function onLineOf<Made>(n: number, make: (line: LineId) => Made | null): Made | null {
  for (let turn = 0; turn < LINES.length; turn += 1) {
    const made = make((LINES[(n + turn) % LINES.length] ?? LINES[0]).id)
    if (made !== null) return made
  }
  return null
}

const streamOf = (cause: string | null, n: number, line: LineId) =>
  new RandomStream(n + 1, `variation ${cause ?? 'healthy'} ${line}`)

const unrestOf = (random: RandomStream): number => Math.exp(0.4 * (2 * random.uniform() - 1))

function soundOne(n: number, line: LineId): Variation {
  const random = streamOf(null, n, line)
  const options = soundOptions(line, { seed: n + 1, unrest: unrestOf(random), zeroTakenSince: true }, random)
  return {
    cause: null,
    n,
    times: 0,
    side: null,
    severity: 0,
    line,
    options,
    watchedS: n % 2 === 0 ? 0 : HEALTHY_WATCHED_S,
  }
}

/** `stream` names its chances where more than one fault of an install are to meet in the same line, speed and noise. */
export function onLine(
  cause: FaultId,
  n: number,
  line: LineId,
  whole: Whole,
  times: readonly [number, number],
  stream: string = cause,
): Variation | null {
  if (line === 'fastest-paper' && TOO_FAST.has(cause)) return null
  const random = streamOf(stream, n, line)
  const unrest = unrestOf(random)
  const one = random.uniform() < 0.5 ? 'drive_side' : 'operator_side'
  const side: Side | null = ONE_SIDED_FAULTS.has(cause) ? one : null
  const sound = soundOptions(line, { seed: n + 1, unrest, zeroTakenSince: !CAME_LATER.has(cause) }, random)
  const common = { cause, n, side, line, watchedS: HOURS[cause] ?? 0 }
  const withFault = (severity: number, options: InstallOptions): Pick<Variation, 'severity' | 'options'> => ({
    severity,
    options: { ...options, faults: [{ fault: cause, zone: '', side, severity, onset: { kind: 'constant' } }] },
  })
  if (cause === 'other-path') {
    const found = otherPath(sound, times, random, (at) => sizesIn(at, whole.features).get(cause) ?? null)
    return found === null ? null : { ...common, times: found.times, ...withFault(found.kind, found.options) }
  }
  const threshold = whole.sizes.get(cause) ?? null
  if (threshold === null) return null
  const { least, most, eitherWay } = FAULTS[cause].severity
  // What is there or not, in kinds: as large as it is.
  if (isPresence(cause)) {
    const made = withFault(Math.floor(least + (most - least + 1) * random.uniform()), sound)
    return isPossible(made.options) ? { ...common, times: PRESENT, ...made } : null
  }
  const size = threshold * times[0] * (reachOf(cause, threshold, times, sound) / times[0]) ** random.uniform()
  const found = simulated(cause, size, sound)
  if (found === null || found.size > most * (1 + 1e-9)) return null
  const sign = eitherWay === true && random.uniform() < 0.5 ? -1 : 1
  const made = withFault(sign * found.size, found.options)
  return isPossible(made.options) ? { ...common, times: size / threshold, ...made } : null
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
