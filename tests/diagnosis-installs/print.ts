import { confusableIn } from '../../lib/diagnosis/confusable.ts'
import { diagnosisContextOf } from '../../lib/diagnosis/context.ts'
import type { FaultId } from '../../shared/faults.ts'
import { FAULTS } from '../../simulator/faults/registry.ts'
import type { Outcome } from './campaign.ts'
import type { HealthyShifts } from './healthy-shifts.ts'
import { type InstallOptions, SimulatedInstall } from './simulated-install.ts'
import type { LineId } from './variation.ts'

const share = (count: number, of: number): string => (of === 0 ? '—' : `${((100 * count) / of).toFixed(1)} %`)

/** A line a cause: how many installs, how often first and among the first two, and what was said instead. */
export function printTable(title: string, outcomes: readonly Outcome[], causes: readonly (FaultId | null)[]): void {
  console.log(`\n${title}`)
  for (const cause of causes) {
    const ones = outcomes.filter((one) => one.cause === cause)
    const first = ones.filter(({ isFirst }) => isFirst).length
    const two = ones.filter(({ isFirst, isSecond }) => isFirst || isSecond).length
    const instead = countsOf(ones.filter(({ isFirst }) => !isFirst).map(({ first: said }) => said))
    console.log(
      `  ${(cause ?? 'healthy').padEnd(26)} n ${String(ones.length).padStart(4)}   first ${share(first, ones.length).padStart(8)}   of two ${share(two, ones.length).padStart(8)}   ${instead}`,
    )
  }
  const first = outcomes.filter(({ isFirst }) => isFirst).length
  const two = outcomes.filter(({ isFirst, isSecond }) => isFirst || isSecond).length
  console.log(
    `  all${' '.repeat(23)} n ${String(outcomes.length).padStart(4)}   first ${share(first, outcomes.length).padStart(8)}   of two ${share(two, outcomes.length).padStart(8)}`,
  )
}

/** How often the right cause is first, by how many thresholds its size is: from which size on it is found. */
export function printSweep(
  sweep: readonly { readonly times: readonly [number, number]; readonly outcomes: readonly Outcome[] }[],
  causes: readonly FaultId[],
): void {
  console.log('\nBy size, in thresholds: right cause first / nothing claimed / another cause claimed')
  for (const cause of causes) {
    const cells = sweep.map(({ times: [from, to], outcomes }) => {
      const ones = outcomes.filter((one) => one.cause === cause)
      const right = ones.filter(({ isFirst }) => isFirst).length
      const none = ones.filter(({ first }) => first === 'healthy').length
      return `${from} to ${to}: ${right}/${none}/${ones.length - right - none}`
    })
    console.log(`  ${cause.padEnd(26)} ${cells.join('   ')}`)
  }
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
  const seen = outcomes.filter(({ cause, passiveFirst }) => cause !== null && passiveFirst !== 'healthy')
  const right = seen.filter(({ isInFirstGroup }) => isInFirstGroup).length
  const claimed = outcomes.filter(({ overclaimed }) => overclaimed > 1e-9).length
  console.log('\nFrom running data alone')
  console.log(
    `  of ${seen.length} that showed at all, the first group holds the true cause in ${share(right, seen.length)}`,
  )
  console.log(`  a member of a group claimed above its share by priors: ${claimed} times`)
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
