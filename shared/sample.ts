import type { MonotonicMs } from './brand.ts'
import type { QualityCode } from './quality.ts'

/** The two ends of the measuring roller, or the one cell of a cantilever roller. */
export type Side = 'drive_side' | 'operator_side' | 'single'

/** What a zone may read beside its cells; `neighbour` is the diameter of the winding roll beside the measuring roller. */
export const AUX_ROLES = ['speed', 'roller_speed', 'reference', 'temperature', 'neighbour'] as const
export type AuxRole = (typeof AUX_ROLES)[number]

/** One channel at one instant, after decode, quality and scale. */
export interface Sample {
  /** Middle of request and response. */
  readonly tMs: MonotonicMs
  /** Half the round trip: the sample was taken within `tMs ± halfWidthMs`. */
  readonly halfWidthMs: number
  /** The number as the device gave it (counts, or a float register); null when none came. */
  readonly raw: number | null
  /** mA, V or mV/V, where the channel has an electrical scale; null when bad. */
  readonly electrical: number | null
  /** SI value: N, m/s, 1/s, °C, m; null when the quality is bad. */
  readonly value: number | null
  readonly code: QualityCode
}

/** Both sides of one zone at one instant. A side that has no sample is `missing`, never carried over. */
export interface ZoneFrame {
  /** Middle of the two sides' times. */
  readonly tMs: MonotonicMs
  /** t(operator side) − t(drive side) in ms; 0 for one request or one cell; null when a side is missing. */
  readonly skewMs: number | null
  readonly sides: Readonly<Partial<Record<Side, Sample>>>
  /** Newest sample of each auxiliary channel not older than its allowed age; absent otherwise. */
  readonly aux: Readonly<Partial<Record<AuxRole, Sample>>>
}

/** What a transport hands over: one answer to one planned request, or the lack of one. */
export type RawReading =
  | {
      readonly kind: 'answer'
      readonly deviceId: string
      /** Index into the device's planned requests. */
      readonly request: number
      readonly tMs: MonotonicMs
      readonly halfWidthMs: number
      /** Modbus: register words, one a number 0–65535. IIO and replay: one number a channel, null where absent. */
      readonly words: readonly (number | null)[]
    }
  | {
      readonly kind: 'gap'
      readonly deviceId: string
      readonly request: number
      readonly tMs: MonotonicMs
      readonly halfWidthMs: number
      readonly code: QualityCode
      /** Error code of the catalogue and a sentence for the log and the Set-up page. */
      readonly errorCode: string
      readonly detail: string
    }
