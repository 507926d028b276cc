import { appendFileSync } from 'node:fs'
import { performance } from 'node:perf_hooks'
import { FAULT_IDS, type FaultId } from '../../shared/faults.ts'
import type { Outcome } from './campaign.ts'
import { healthyShifts } from './healthy-shifts.ts'
import { type Answered, askWorkers, type Job } from './jobs.ts'
import { LINES } from './lines.ts'
import { PAIRS } from './pairs.ts'
import {
  printConfusable,
  printConfusions,
  printPairs,
  printPassive,
  printShifts,
  printSweep,
  printTable,
  printThresholds,
} from './print.ts'
import { TOO_FAST, variation } from './variation.ts'

/**
 * How well diagnosis finds causes at simulated installs that it never saw:
 * `npm run bench:diagnosis [-- INSTALLS [CAUSES|all [FIRST [PROCESSES [FILE]]]]]`, so many a cause (`pairs` among them: two at once) from the FIRST on, in
 * so many processes (2), each outcome added to FILE as it comes. Seeded: the same numbers give the same table. What was changed while looking at some installs is told
 * by others: 1 to 999 are for tuning.
 */
const CLEAR = [2, 6] as const
/** Under the threshold “nothing found” is the right answer: counted apart. */
const SWEEP = [
  [0.25, 0.5],
  [0.5, 1],
  [1, 2],
] as const
const SHIFTS = 1000
/** Of the installs of a cause, so many again for each band of sizes. */
const SWEEP_SHARE = 0.1
const installs = Math.max(1, Number(process.argv[2] ?? 50))
const only = process.argv[3] === undefined || process.argv[3] === 'all' ? undefined : process.argv[3].split(',')
const first = Math.max(0, Number(process.argv[4] ?? 0))
const processes = Math.max(1, Number(process.argv[5] ?? 2))
const file = process.argv[6]
const began = performance.now()
const minutes = (): string => `${((performance.now() - began) / 60_000).toFixed(1)} min`

/** Named among the causes: two faults at once, which enter no total. */
const isPairs = only === undefined || only.includes('pairs')
const causes = FAULT_IDS.filter((id) => only === undefined || only.includes(id))
const lines = LINES.map(({ id }) => ({ kind: 'whole', line: id }) as const)
const wholes = (await askWorkers(lines, processes)).flatMap((one) => (one.kind === 'whole' ? [one.whole] : []))
console.log(
  `Installs ${first} to ${first + installs - 1} of ${causes.length} causes, seeded; lines ${LINES.map(({ id }) => id).join(', ')}`,
)
const byLine = new Map(wholes.map(({ line, sizes }) => [line, new Map(sizes)] as const))
printThresholds(byLine)

async function campaign(jobs: readonly Job[]): Promise<Outcome[]> {
  const asked = jobs.map((job) => ({ kind: 'install', job, wholes }) as const)
  return (await askWorkers(asked, processes, keep)).flatMap(outcomeIn)
}

function keep(answer: Answered): void {
  if (file !== undefined) for (const one of outcomeIn(answer)) appendFileSync(file, `${JSON.stringify(one)}\n`)
}

const outcomeIn = (one: Answered): Outcome[] => (one.kind === 'outcome' && one.outcome !== null ? [one.outcome] : [])

const jobsOf = (of: readonly (FaultId | null)[], count: number, times: readonly [number, number]): Job[] =>
  Array.from({ length: count }, (_, n) => n).flatMap((n) => of.map((cause) => ({ cause, n: first + n, times })))

const clear = await campaign(jobsOf(causes, installs, CLEAR))
printTable('Twice its threshold to six times, after the tests it asks for', clear, causes)
printPassive(clear)
console.log(`  ${minutes()}`)
const healthy = await campaign(causes.length === 0 ? [] : jobsOf([null], installs, CLEAR))
printTable('Sound installs', healthy, [null])
const sweep = await campaign(SWEEP.flatMap((times) => jobsOf(causes, Math.ceil(installs * SWEEP_SHARE), times)))
printSweep([...SWEEP, CLEAR], [...sweep, ...clear], causes)
if (isPairs) {
  const asked = Array.from({ length: installs }, (_, n) => n).flatMap((n) =>
    PAIRS.map((pair) => ({ kind: 'pair', pair, n: first + n, times: CLEAR, wholes }) as const),
  )
  const answers = await askWorkers(asked, processes)
  printPairs(answers.flatMap((one) => (one.kind === 'pair' && one.outcome !== null ? [one.outcome] : [])))
}
const sound = variation(null, first, new Map(), CLEAR)
if (sound !== null) printConfusable(sound.options)
printShifts(healthyShifts(SHIFTS))
printConfusions([...clear, ...healthy])
console.log('')
for (const cause of causes)
  if (!clear.some((one) => one.cause === cause))
    console.log(`Not tried: ${cause}, twice its threshold is more than it can be on these lines.`)
console.log(
  `Not tried on the fastest line, whose turn the amplifier’s filter does not let pass: ${[...TOO_FAST].join(', ')}.`,
)
console.log(`\n${minutes()}`)
