import { z } from 'zod'
import { act } from '../act.ts'
import { AT_THE_ROLLER } from '../arguments.ts'
import { INSTRUMENTS, measured, seen, spoken } from '../measure.ts'

/** One turn a second: what a hand gives it, rad/s, and how well (1 σ). */
const SPUN_AT = 2 * Math.PI
const SPUN_WITHIN = 0.05
/** A free idler of this kind turns on for at least this long (common practice), s. */
const FREE_FROM = 4

/** J ω / M: the time in which the drag takes the spin away. */
export const spinDown = act({
  id: 'spin-down',
  title: 'Spin the roller by hand and time it',
  seconds: 60,
  caution: 'Locked out; sleeves and gloves away from the roller.',
  needs: { ...AT_THE_ROLLER, roller: 'on the cells', web: ['off'], free: true },
  args: z.strictObject({}),
  run(bench) {
    const { inertia, dragTorque } = bench.parameters.roller
    const stopwatch = { ...INSTRUMENTS.stopwatch, share: SPUN_WITHIN }
    const time = measured('spin-down', (inertia * SPUN_AT) / dragTorque, stopwatch, bench.random)
    const free = Number(time.value) >= FREE_FROM
    const words = `From one turn a second it stands after ${spoken(time)}${free ? '' : ': it does not spin free'}.`
    return { words, readings: [time, seen('spins-free', free)] }
  },
})
