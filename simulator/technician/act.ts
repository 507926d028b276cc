import type { z } from 'zod'
import type { Bench } from './bench.ts'
import type { Guards, Power, WebState } from './condition.ts'

/** The machine state that an act asks for; what is left out does not matter. */
export interface Needs {
  readonly power?: readonly Power[]
  readonly guards?: Guards
  readonly driveEnabled?: boolean
  readonly web?: readonly WebState[]
  readonly roller?: 'on the cells' | 'lifted off'
  /** Nothing pushed, nothing hung on. */
  readonly free?: boolean
}

/** One thing that an act gave to see. */
export interface Reading {
  /** What it is, in the words of the figures where there is one for it. */
  readonly figure: string
  readonly side?: 'drive_side' | 'operator_side'
  readonly value: number | boolean | string
  /** Null for what has none. */
  readonly unit: string | null
  /** Standard uncertainty in the same unit; null for what is seen and not measured. */
  readonly u: number | null
}

/** What there was to see. */
export interface Observation {
  readonly words: string
  readonly readings: readonly Reading[]
}

/** Something a technician can do at the machine. `Args` is what one has to say with it. */
export interface Act<Args extends z.ZodObject = z.ZodObject> {
  readonly id: string
  readonly title: string
  /** What it costs, s; what depends on its arguments is added by `bench.pass`. */
  readonly seconds: number
  /** What can hurt, in one line; null for what cannot. */
  readonly caution: string | null
  readonly needs: Needs
  readonly args: Args
  /** Does it. Throws NotPossible where the arguments cannot be followed; nothing is changed then. */
  run(bench: Bench, args: z.output<Args>): Observation
}

/** Keeps the type of the arguments between `args` and `run`. */
export function act<Args extends z.ZodObject>(definition: Act<Args>): Act<Args> {
  return definition
}

/** An observation of something done, with nothing to read. */
export const done = (words: string): Observation => ({ words, readings: [] })
