import type { Random } from '../../lib/uncertainty/random.ts'

/** One place where the product reads what others write. */
export interface Target {
  readonly name: string
  /** Inputs of a whole run. */
  readonly inputs: number
  /** What must hold for every input, in words. */
  readonly holds: string
  open(): Promise<OpenTarget>
}

interface OpenTarget {
  /** Feeds input number `i`, made by `random`; throws when what must hold does not. Returns what became of it. */
  feed(random: Random, i: number): Promise<Outcome> | Outcome
  close(): Promise<void>
}

type Outcome = 'taken' | 'refused'
