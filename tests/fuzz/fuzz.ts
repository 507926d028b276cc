/**
 * `npm run fuzz [-- SEED]`: more than 100 000 damaged inputs to everything the product reads, and what became of them.
 * Ends with exit code 1 at the first that breaks what must hold, naming how to make it again.
 */
import { runTarget } from './run-target.ts'
import { TARGETS } from './targets/all.ts'

const seed = Number(process.argv[2] ?? 1)
if (!Number.isSafeInteger(seed)) throw new Error(`expected a whole number as seed, got ${process.argv[2]}`)
let all = 0
for (const target of TARGETS) {
  const { name, inputs, taken, refused, longestMs, seconds, heapMb } = await runTarget(target, target.inputs, seed)
  all += inputs
  const heap =
    heapMb === null ? '' : `; heap ${heapMb[0].toFixed(1)} MB after a quarter, ${heapMb[1].toFixed(1)} MB at the end`
  console.log(
    `${name}: ${inputs} inputs in ${seconds.toFixed(0)} s, ${taken} taken, ${refused} refused; longest ${longestMs.toFixed(0)} ms${heap}`,
  )
  console.log(`  each ${target.holds}`)
}
console.log(`${all} inputs, seed ${seed}: no crash, no hang`)
process.exit()
