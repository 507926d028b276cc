import { FAULT_IDS, type FaultId } from '../../shared/faults.ts'
import type { ActiveFault } from '../faults/active.ts'
import type { Onset } from '../faults/onset.ts'
import { FAULTS } from '../faults/registry.ts'
import { RandomStream } from '../physics/random.ts'
import type { Level } from './levels.ts'
import { drawMasked } from './masked.ts'
import { SIDES } from './place.ts'
import { TRAINING_LINES, type TrainingLine } from './training-lines.ts'
import { TwinRuns } from './twin-runs.ts'

/** What an exercise hides. */
export interface Drawn {
  readonly line: string
  readonly faults: readonly ActiveFault[]
}

/** Tries after which a seed gives up; with a share of some nine in ten that can be proven, it is never reached. */
const MOST_TRIES = 60

/**
 * Draws what a level hides: same level, line and seed, same faults. Every fault that is drawn can be found there: on
 * twins a proof of it holds, with all that is hidden in. `on`: null draws the line too.
 */
export function draw(level: Level, on: TrainingLine | null, seed: number): Drawn {
  const random = new RandomStream(seed, `draw/${level.id}`)
  const line = on ?? oneOf(TRAINING_LINES, random)
  if (hidesNothing(level, seed)) return { line: line.id, faults: [] }
  for (let i = 0; i < MOST_TRIES; i++) {
    const faults = level.masked ? drawMasked(line, seed, random) : drawFaults(level, line, random)
    if (faults !== null && canBeFound(line, faults, seed)) return { line: line.id, faults }
  }
  throw new RangeError(`seed ${seed} draws nothing that can be found on ${line.id}`)
}

/** Whether this seed leaves the line sound. */
export function hidesNothing({ id, nothing }: Level, seed: number): boolean {
  return new RandomStream(seed, `nothing/${id}`).uniform() < nothing
}

export function oneOf<T>(list: readonly T[], random: RandomStream): T {
  return list[Math.floor(random.uniform() * list.length)] as T
}

/** Every fault has a proof that holds with all of them in; also not where one cannot be there at all. */
export function canBeFound({ scenario }: TrainingLine, faults: readonly ActiveFault[], seed: number): boolean {
  try {
    const runs = new TwinRuns({ line: scenario, faults, seed })
    return faults.every((fault) => runs.canBeFound(fault))
  } catch (error) {
    if (error instanceof RangeError) return false
    throw error
  }
}

function drawFaults(level: Level, line: TrainingLine, random: RandomStream): ActiveFault[] | null {
  const zone = oneOf(line.zones, random)
  const drawn: ActiveFault[] = []
  for (let i = 0; i < level.faults; i++) drawn.push(drawFault(level, zone, random))
  return new Set(drawn.map(({ fault }) => fault)).size === drawn.length ? drawn : null
}

function drawFault(level: Level, zone: string, random: RandomStream): ActiveFault {
  const cause = oneOf(level.comes ? COME_WITH_TIME : FAULT_IDS, random)
  const { sides } = FAULTS[cause]
  return {
    fault: cause,
    zone,
    side: sides === 'one' ? oneOf(SIDES, random) : null,
    severity: drawSeverity(cause, level.size === 'clear' ? CLEAR : ORDINARY, random),
    onset: level.comes ? drawOnset(cause, random) : { kind: 'constant' },
  }
}

/** Times the typical size. */
const CLEAR = [2, 3] as const
const ORDINARY = [0.9, 1.5] as const

/** A severity about so many times the typical one, rounded as one would say it. */
export function drawSeverity(cause: FaultId, times: readonly [number, number], random: RandomStream): number {
  const { least, typical, most, eitherWay } = FAULTS[cause].severity
  const share = times[0] + (times[1] - times[0]) * random.uniform()
  const sign = eitherWay === true && random.uniform() < 0.5 ? -1 : 1
  const kinds = Number.isInteger(most) && most <= 3 && least === 1
  if (kinds) return 1 + Math.floor(random.uniform() * most)
  return sign * Number(Math.min(most, typical * share).toPrecision(2))
}

/** Those whose size does not itself move with time, so that it can be waited for. */
const COME_WITH_TIME = FAULT_IDS.filter(
  (id) => FAULTS[id].onsets.includes('growing') && FAULTS[id].course === undefined,
)

function drawOnset(cause: FaultId, random: RandomStream): Onset {
  const minutes = (least: number, most: number) => 60 * Math.round(least + (most - least) * random.uniform())
  const kinds = FAULTS[cause].severity.unit === 'present' ? ['sudden'] : ['sudden', 'growing']
  return oneOf(kinds, random) === 'sudden'
    ? { kind: 'sudden', after_s: minutes(3, 10) }
    : { kind: 'growing', after_s: 0, over_s: minutes(10, 30) }
}
