import { confusableIn } from '../../lib/diagnosis/confusable.ts'
import { diagnosisContextOf } from '../../lib/diagnosis/context.ts'
import type { FaultId } from '../../shared/faults.ts'
import { FAULTS } from '../../simulator/faults/registry.ts'
import type { Outcome } from './campaign.ts'
import type { HealthyShifts } from './healthy-shifts.ts'
import type { LineId } from './lines.ts'
import { PAIRS, type PairOutcome } from './pairs.ts'
import { foundAt } from './probit.ts'
import { inWords } from './share.ts'
import { type InstallOptions, SimulatedInstall } from './simulated-install.ts'

const CLAIMED_NOTHING: readonly string[] = ['healthy', 'unknown']

/** A line a cause: how many installs, how often first and among the first two with exact intervals, and what was said instead. */
export function printTable(title: string, outcomes: readonly Outcome[], causes: readonly (FaultId | null)[]): void {
  console.log(`\n${title}`)
  for (const cause of causes) {
    const ones = outcomes.filter((one) => one.cause === cause)
    const instead = countsOf(ones.filter(({ isFirst }) => !isFirst).map(({ first: said }) => said))
    if (ones.length > 0) console.log(`  ${(cause ?? 'healthy').padEnd(26)} ${rowOf(ones)}   ${instead}`)
  }
  console.log(`  ${'all'.padEnd(26)} ${rowOf(outcomes)}`)
}

function rowOf(ones: readonly Outcome[]): string {
  const first = ones.filter(({ isFirst }) => isFirst).length
  const two = ones.filter(({ isFirst, isSecond }) => isFirst || isSecond).length
  const mean = (of: (one: Outcome) => number): string =>
    (ones.reduce((sum, one) => sum + of(one), 0) / Math.max(1, ones.length)).toFixed(0).padStart(4)
  const cells = [
    `n ${String(ones.length).padStart(4)}`,
    `first ${inWords(first, ones.length).padStart(16)}`,
    `of two ${inWords(two, ones.length).padStart(16)}`,
    `${mean(({ minutesToCause }) => minutesToCause)} min of tests, ${mean(({ minutes }) => minutes)} with those for more`,
    `two told ${ones.filter(({ isTwoTold }) => isTwoTold).length}`,
  ]
  return cells.join('   ')
}

/** What was said first, of each cause, where it was another: the confusion matrix without its diagonal. */
export function printConfusions(outcomes: readonly Outcome[]): void {
  console.log('\nEvery install that was taken for something else')
  for (const { isFirst, words } of outcomes) if (!isFirst) console.log(`  ${words}`)
}

/** How often the right cause is first, by how many thresholds its size is: from which size on it is found. */
export function printSweep(
  bands: readonly (readonly [number, number])[],
  outcomes: readonly Outcome[],
  causes: readonly FaultId[],
): void {
  console.log(
    '\nBy size, in thresholds: right cause first / nothing claimed / another cause claimed; found in half and in nine of ten from',
  )
  for (const cause of causes) {
    const ones = outcomes.filter((one) => one.cause === cause && Number.isFinite(one.times))
    if (ones.length === 0) continue
    const cells = bands.map(([from, to]) => `${from} to ${to}: ${bandOf(ones, from, to)}`)
    const at = foundAt(ones.map(({ times, isFirst }) => ({ times, isFound: isFirst })))
    const told = at === null ? 'one outcome alone' : `${at.half.toPrecision(2)} and ${at.nineOfTen.toPrecision(2)}`
    console.log(`  ${cause.padEnd(26)} ${cells.join('   ')}   ${told}`)
  }
  const under = outcomes.filter(({ times }) => times < 1)
  const none = under.filter(({ first }) => CLAIMED_NOTHING.includes(first)).length
  const right = under.filter(({ isFirst }) => isFirst).length
  console.log(
    `  under their threshold, of ${under.length}: nothing claimed ${inWords(none, under.length)}, the right cause ${inWords(right, under.length)}, another one ${inWords(under.length - none - right, under.length)}`,
  )
}

function bandOf(ones: readonly Outcome[], from: number, to: number): string {
  const here = ones.filter(({ times }) => times >= from && times < to)
  const right = here.filter(({ isFirst }) => isFirst).length
  const none = here.filter(({ first }) => CLAIMED_NOTHING.includes(first)).length
  return `${right}/${none}/${here.length - right - none}`
}

/** Two faults at once, apart from every total. */
export function printPairs(outcomes: readonly PairOutcome[]): void {
  console.log(
    '\nTwo faults at once: both among the first two, three, four, told as two together; among three without looking for a second',
  )
  for (const pair of [...PAIRS, null]) {
    const ones = pair === null ? outcomes : outcomes.filter((one) => one.pair.join() === pair.join())
    const count = (is: (one: PairOutcome) => boolean): string => inWords(ones.filter(is).length, ones.length)
    const cells = [
      count(({ areIn }) => areIn.two),
      count(({ areIn }) => areIn.three),
      count(({ areIn }) => areIn.four),
      count(({ isToldTogether }) => isToldTogether),
      count(({ wereInThree }) => wereInThree),
    ]
    const name = pair?.join(' and ') ?? 'all'
    console.log(`  ${name.padEnd(40)} n ${String(ones.length).padStart(4)}   ${cells.join('   ')}`)
  }
  for (const { areIn, words } of outcomes) if (!areIn.three) console.log(`  missed: ${words}`)
}

export function printShifts({ shifts, outside, steps }: HealthyShifts): void {
  console.log(`\n${shifts} healthy shifts of 8 h: a drift called outside in ${outside}, a step told in ${steps}`)
}

function countsOf(said: readonly string[]): string {
  const counts = new Map<string, number>()
  for (const one of said) counts.set(one, (counts.get(one) ?? 0) + 1)
  const sorted = [...counts].sort((a, b) => b[1] - a[1])
  return sorted.length === 0 ? '' : `instead: ${sorted.map(([id, count]) => `${id} ${count}`).join(', ')}`
}

export function printPassive(outcomes: readonly Outcome[]): void {
  const tried = outcomes.filter(({ cause }) => cause !== null)
  const seen = tried.filter(({ passiveFirst }) => passiveFirst !== 'healthy')
  const right = seen.filter(({ isInFirstGroup }) => isInFirstGroup).length
  const claimed = outcomes.filter(({ overclaimed }) => overclaimed > 1e-9).length
  console.log('\nFrom running data alone')
  console.log(
    `  of ${tried.length} installs ${seen.length} showed at all; of these the first group holds the true cause in ${inWords(right, seen.length)}`,
  )
  console.log(`  a member of a group claimed above its share by priors: ${claimed} times`)
  for (const cause of new Set(seen.map((one) => one.cause))) {
    const ones = seen.filter((one) => one.cause === cause)
    const missed = ones.filter(({ isInFirstGroup }) => !isInFirstGroup)
    if (missed.length > 0)
      console.log(
        `  ${String(cause).padEnd(26)} ${inWords(ones.length - missed.length, ones.length)}   ${countsOf(missed.map(({ passiveFirst }) => passiveFirst))}`,
      )
  }
}

export function printThresholds(thresholds: ReadonlyMap<LineId, ReadonlyMap<FaultId, number | null>>): void {
  console.log('\nFound from (a whole verification, by line)')
  const [first] = thresholds.values()
  for (const id of first?.keys() ?? []) {
    const sizes = [...thresholds].map(([line, of]) => `${line} ${of.get(id)?.toPrecision(2) ?? 'not'}`)
    console.log(`  ${id.padEnd(26)} ${sizes.join('   ')}   ${FAULTS[id].severity.unit}`)
  }
}

/** Derived from what the causes predict, not from any install. */
export function printConfusable(options: InstallOptions): void {
  console.log('\nCannot be told apart by running data alone (out of the predictions)')
  const name = ({ cause, side }: { cause: string; side: string | null }): string =>
    side === null ? cause : `${cause} (${side === 'drive_side' ? 'DS' : 'OS'})`
  for (const one of confusableIn(diagnosisContextOf(new SimulatedInstall(options).context)))
    if (one.with.length > 0) console.log(`  ${name(one).padEnd(34)} ${one.with.map(name).join(', ')}`)
}
