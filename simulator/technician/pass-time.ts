import type { Machine } from '../physics/machine.ts'

/** The machine's own step, s, taken for the last moments, so that filters and roller have settled as they always do. */
const FINE_STEP_S = 0.001
const FINE_TAIL_S = 0.5
/** Steps of a wait, s: fine while there are few of them, then as long as the web's spans and the drive's control bear. */
const COARSE_STEP_S = 0.02
const LONGEST_STEP_S = 0.2
const STEPS_BEFORE_LONGER = 2000

/** Lets `seconds` of the machine's time go by at once: coarse steps, then the machine's own for the last half second. */
export function passTime(machine: Machine, seconds: number): void {
  const tail = Math.min(seconds, FINE_TAIL_S)
  const wait = seconds - tail
  const steps = Math.ceil(Math.max(Math.min(wait / COARSE_STEP_S, STEPS_BEFORE_LONGER), wait / LONGEST_STEP_S))
  for (let i = 0; i < steps; i++) machine.step(wait / steps)
  for (let i = 0; i < Math.round(tail / FINE_STEP_S); i++) machine.step(FINE_STEP_S)
}
