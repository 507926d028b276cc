import type { Needs, Reading } from '../technician/act.ts'
import type { Side } from '../technician/bench.ts'
import type { TestPlace } from './place.ts'
import type { SaidAct } from './way.ts'

/** What has to happen before both sides are looked at: the state, and how long everything settles, s. */
export interface LookStep {
  /** When it is, in words: "bare roller". */
  readonly look: string
  readonly needs: Needs
  readonly settle: number
  readonly seconds: number
  readonly withLines?: true
  /** Looked at alone. */
  readonly side?: Side
}
export type TestStep = SaidAct | LookStep

/** What was seen of one test, by the words of its looks. */
export interface Seen {
  signal(look: string, side: Side): number | null
  u(look: string, side: Side): number
}

/** A test of the trade: acts and looks in order. */
export interface TrainingTest {
  readonly id: string
  readonly title: string
  steps(place: TestPlace): readonly TestStep[]
  /** Figures that several looks give together. */
  derived?(seen: Seen): readonly Reading[]
}

/** Where a test tells nothing but by one side. */
export interface SidedTest {
  readonly id: string
  readonly title: string
  steps(place: TestPlace, side: Side): readonly TestStep[]
  derived?(seen: Seen, side: Side): readonly Reading[]
}

export const isLook = (step: TestStep): step is LookStep => 'look' in step
