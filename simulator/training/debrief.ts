import type { ShortestPath, ToldTest, TrainingDebrief } from '../../shared/schemas/training.ts'
import type { ActiveFault } from '../faults/active.ts'
import type { ClosedExercise } from './closed-exercise.ts'
import { deedsOfTest, SEEN_BY_ITSELF } from './done-tests.ts'
import { placeOf } from './place.ts'
import { toldDeeds } from './replay.ts'
import { scored } from './score.ts'
import { shortestFor } from './shortest.ts'
import { ALL_TESTS } from './tests.ts'
import { trainingLine } from './training-lines.ts'
import type { TrainingTest } from './training-test.ts'
import { truthOf } from './truth.ts'
import { type Case, TwinRuns } from './twin-runs.ts'
import { compared } from './twins.ts'

/** Everything about a closed exercise, worked out by running the machine and its twins. `share`: how much is done, 0 to 1. */
export function debriefOf(closed: ClosedExercise, share: (done: number) => void = () => {}): TrainingDebrief {
  const line = trainingLine(closed.exercise.line)
  if (line === undefined) throw new RangeError(`there is no line ${closed.exercise.line}`)
  const faults = closed.faults.map(({ fault }) => fault)
  const hidden: Case = { line: line.scenario, faults, seed: closed.seed }
  const runs = new TwinRuns(hidden)
  const { exercise, answer } = closed
  // A share is of the tests; the rest is told to be little.
  const zones = [...new Set(faults.length === 0 ? exercise.zones.slice(0, 1) : faults.map(({ zone }) => zone))]
  const jobs = zones.flatMap((zone) => ALL_TESTS.map((test) => ({ zone, test })))
  const tests = jobs.map(({ zone, test }, i) => {
    share((0.8 * i) / jobs.length)
    return toldTest(hidden, runs, test, zone, closed)
  })
  const shortest = faults.flatMap((fault) => shortestFor(hidden, runs, fault) ?? [])
  share(0.9)
  const score = scored({
    truth: faults,
    findings: answer?.findings ?? null,
    unsafe: exercise.tally.unsafe,
    hints: exercise.hints.given.length,
    wasTold: (fault) => wasTold(runs, fault, tests),
  })
  return {
    exercise,
    endedMs: closed.endedMs,
    seed: closed.seed,
    truth: closed.faults.map(truthOf),
    answer,
    score,
    time: {
      used: exercise.tally.seconds,
      shortest: shortestOfAll(faults, shortest),
      wall: wallSeconds(closed),
    },
    refusals: refusalsOf(closed),
    hints: { taken: exercise.hints.given.length, of: exercise.hints.given.length + exercise.hints.left },
    tests: [...tests, ...toldDeeds(closed, line.scenario)],
    shortest,
    changes: closed.changes.map(({ atMs, words }) => ({ atMs, words })),
  }
}

/** Without the time in which there was no machine to work at. */
function wallSeconds({ endedMs, exercise: { startedMs, takenUp } }: ClosedExercise): number {
  const away = takenUp.reduce((sum, { lastMs, atMs }) => sum + (atMs - lastMs), 0)
  return (endedMs - startedMs - away) / 1000
}

function shortestOfAll(faults: readonly ActiveFault[], paths: readonly ShortestPath[]): number | null {
  if (faults.length === 0 || paths.length < faults.length) return null
  return paths.reduce((sum, { seconds }) => sum + seconds, 0)
}

function toldTest(
  hidden: Case,
  runs: TwinRuns,
  test: TrainingTest,
  zone: string,
  { exercise }: ClosedExercise,
): ToldTest {
  const found = runs.found(test.id, zone)
  const sound = runs.sound(test.id, zone)
  const deeds = deedsOfTest(test, placeOf(hidden.line, zone), exercise.deeds)
  const reason = found.reason ?? sound.reason
  const row = { id: test.id, title: test.title, zone, deeds, reason }
  if (reason !== null) return { ...row, verdict: 'not possible', seconds: null, readings: [] }
  const readings = compared(found.readings, sound.readings)
  return {
    ...row,
    verdict: readings.some(({ differs }) => differs) ? 'told' : 'could not tell',
    seconds: found.steps.reduce((sum, { seconds }) => sum + seconds, 0),
    readings,
  }
}

/** All tests of some proof of it were made. */
function wasTold(runs: TwinRuns, fault: ActiveFault, tests: readonly ToldTest[]): boolean {
  const made = new Set(
    tests
      .filter(({ zone, deeds, id }) => zone === fault.zone && (deeds.length > 0 || SEEN_BY_ITSELF.has(id)))
      .map(({ id }) => id),
  )
  return runs.proofs(fault).some((proof) => proof.every((test) => made.has(test)))
}

function refusalsOf({ exercise }: ClosedExercise): TrainingDebrief['refusals'] {
  return exercise.deeds
    .flatMap(({ number, title, refused, atSeconds }) =>
      refused === null ? [] : [{ number, title, ...refused, atSeconds }],
    )
    .sort((a, b) => Number(b.unsafe) - Number(a.unsafe) || a.number - b.number)
}
