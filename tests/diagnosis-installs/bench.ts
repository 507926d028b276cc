import { performance } from 'node:perf_hooks'
import { type Outcome, outcomeOf } from './campaign.ts'
import { healthyShifts } from './healthy-shifts.ts'
import { printConfusable, printPassive, printShifts, printSweep, printTable, printThresholds } from './print.ts'
import { LINES, NOT_TRIED, TRIED, thresholdsOn, variation } from './variation.ts'

/**
 * How well diagnosis finds causes at simulated installs that it never saw: `npm run bench:diagnosis [-- INSTALLS [CAUSES|all [FIRST]]]`,
 * so many a cause from the FIRST on. Seeded: the same numbers give the same table. What was changed while looking at some
 * installs is told by others.
 */
const CLEAR = [2, 6] as const
/** Under the threshold “nothing found” is the right answer: counted apart. */
const SWEEP = [
  [0.25, 0.5],
  [0.5, 1],
  [1, 2],
] as const
const SHIFTS = 1000
const installs = Math.max(1, Number(process.argv[2] ?? 50))
const only = process.argv[3] === 'all' ? undefined : process.argv[3]?.split(',')
const first = Math.max(0, Number(process.argv[4] ?? 0))
const began = performance.now()

const thresholds = new Map(LINES.map(({ id }) => [id, thresholdsOn(id)] as const))
printThresholds(thresholds)
const causes = TRIED.filter((id) => only === undefined || only.includes(id))

function campaign(times: readonly [number, number], count: number): Outcome[] {
  return causes.flatMap((cause) =>
    Array.from({ length: count }, (_, n) => variation(cause, first + n, thresholds, times)).flatMap((one) =>
      one === null ? [] : [outcomeOf(one)],
    ),
  )
}

const clear = campaign(CLEAR, installs)
printTable(`Twice its threshold to six times, after the tests it asks for`, clear, causes)
printPassive(clear)
const sweep = SWEEP.map((times) => ({ times, outcomes: campaign(times, Math.ceil(installs / 10)) }))
printSweep(sweep, causes)
const healthy = Array.from({ length: installs }, (_, n) => variation(null, first + n, thresholds, CLEAR)).flatMap(
  (one) => (one === null ? [] : [outcomeOf(one)]),
)
printTable('Sound installs', healthy, [null])
const sound = variation(null, first, thresholds, CLEAR)
if (sound !== null) printConfusable(sound.options)
printShifts(healthyShifts(SHIFTS))
for (const cause of causes)
  if (!clear.some((one) => one.cause === cause))
    console.log(`Not tried: ${cause}, twice its threshold is more than it can be on these lines.`)
for (const [id, why] of Object.entries(NOT_TRIED)) console.log(`Not tried: ${id} ${why}.`)
console.log(`\n${((performance.now() - began) / 60_000).toFixed(1)} min`)
