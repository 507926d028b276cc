import type { ConfiguredGeometry } from '../../../lib/geometry/from-config.ts'
import { ofSide } from '../../../lib/geometry/sided.ts'
import { UNIT_OF_SIGNAL } from '../../../lib/geometry/signal.ts'
import type { ZoneFacts } from '../../../shared/schemas/config-write.ts'
import type { Side } from './edits.ts'

/** Where an expected signal comes from: the output that the drawing describes, or the channel's own zero and gain. */
export type SignalSource =
  | { readonly kind: 'output'; readonly unit: string; readonly is4to20: boolean }
  | {
      readonly kind: 'channel'
      readonly unit: string
      readonly is4to20: boolean
      readonly zero: number
      readonly gainN: number
      /** Standard uncertainties: share of the gain, and of the zero in newtons. */
      readonly uGain: number
      readonly uZeroN: number
    }

/** How the signal of a side is told; null where neither the drawing nor the channel has an electrical scale. */
export function signalSourceOf(
  { geometry, tellsSignal }: ConfiguredGeometry,
  facts: ZoneFacts,
  side: Side,
): SignalSource | null {
  if (tellsSignal) {
    const { kind } = ofSide(geometry.cells, side).chain
    return { kind: 'output', unit: UNIT_OF_SIGNAL[kind], is4to20: kind === '4-20mA' }
  }
  const cell = facts.cells[side]
  if (cell === undefined || cell.electricalUnit === null) return null
  return {
    kind: 'channel',
    unit: cell.electricalUnit,
    is4to20: cell.electricalUnit === 'mA',
    zero: cell.zero,
    gainN: cell.gainN,
    uGain: cell.uGainPercent / 100,
    uZeroN: (cell.uZeroPercent / 100) * cell.capacityN,
  }
}

/** Reading of a channel whose zero was taken with the bare roller: zero + web force ÷ gain. */
export const channelReading = (source: Extract<SignalSource, { kind: 'channel' }>, webForce: number): number =>
  source.zero + webForce / source.gainN

/** Standard uncertainty of that reading from those of the web's force, the gain and the zero, taken as independent (JCGM 100, 5.1.2). */
export function channelReadingU(
  source: Extract<SignalSource, { kind: 'channel' }>,
  webForce: number,
  uWebForce: number,
): number {
  return Math.hypot(uWebForce, webForce * source.uGain, source.uZeroN) / Math.abs(source.gainN)
}
