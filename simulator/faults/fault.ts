import type { FaultId } from '../../shared/faults.ts'
import type { BothEnds } from '../physics/ends.ts'
import type { ZoneParameters } from '../physics/zone.ts'
import type { ActId } from '../technician/registry.ts'
import type { Change } from './change.ts'
import type { Onset } from './onset.ts'

export type Side = keyof BothEnds<unknown>

/** The zone a fault is put into, and the point the line works at, which a severity in per cent refers to. SI. */
export interface FaultPlace {
  readonly zone: ZoneParameters
  /** Null for a fault of both ends or of the machine. */
  readonly side: Side | null
  readonly mainsHz: number
  /** Tension, N, and speed, m/s, the programme works at. */
  readonly tension: number
  readonly speed: number
  /** Force of the web on the roller for each newton of its tension, x and y, N/N; its length; and the wrap, rad. */
  readonly pull: { readonly x: number; readonly y: number }
  readonly wrap: number
}

interface Severity {
  readonly unit: string
  /** Sizes that are met in practice; 0 changes nothing. */
  readonly least: number
  readonly typical: number
  readonly most: number
  /** May be negative too. */
  readonly eitherWay?: true
}

/**
 * How a fault goes on by itself while its onset is there. `held`: as large as the onset says. `per hour`: its severity is
 * a rate. `decaying`: it comes with the onset and fades with the cell's thermal time.
 */
export type Course = 'held' | 'per hour' | 'decaying'

/** Something physically wrong with machine, cell, cable, channel, fit or web: never a figure on a display. */
export interface Fault {
  readonly id: FaultId
  readonly title: string
  /** `one`: sits on a side that has to be named; `both` on both; `none`: the machine's or the web's. */
  readonly sides: 'one' | 'both' | 'none'
  readonly severity: Severity
  readonly onsets: readonly Onset['kind'][]
  readonly course?: Course
  /** Acts at the machine that end it. */
  readonly remedies: readonly ActId[]
  /** What it changes at full size. Throws RangeError for a severity it cannot have here. `severity` is not 0. */
  changes(place: FaultPlace, severity: number): readonly Change[]
}
