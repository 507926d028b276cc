import { decodeRegister } from '../../lib/codec/decode.ts'
import type { RawReading } from '../../shared/sample.ts'
import type { ChannelConfig } from '../../shared/schemas/config.ts'
import type { DevicePlan } from '../poller/types.ts'

/** A channel's raw number out of one reading; null when the reading does not hold it. */
export interface DecodedValue {
  readonly channelId: string
  readonly raw: number | null
}

type Extract = (words: readonly (number | null)[]) => number | null

interface PlannedValue {
  readonly channelId: string
  readonly extract: Extract
}

/** Turns readings into raw numbers by the same plan that the requests were made from. */
export class Decoder {
  readonly #values: ReadonlyMap<string, readonly (readonly PlannedValue[])[]>

  constructor(plans: readonly DevicePlan[], channels: ReadonlyMap<string, ChannelConfig>) {
    this.#values = new Map(
      plans.map((plan) => [
        plan.device.id,
        plan.requests.map((request) =>
          request.items.map(({ channelId, offset }) => ({
            channelId,
            extract: extractorOf(channels.get(channelId), offset),
          })),
        ),
      ]),
    )
  }

  /** Every channel of the request: with its number for an answer, with null for a gap. */
  decode(reading: RawReading): DecodedValue[] {
    const planned = this.#values.get(reading.deviceId)?.[reading.request] ?? []
    return planned.map(({ channelId, extract }) => ({
      channelId,
      raw: reading.kind === 'answer' ? extract(reading.words) : null,
    }))
  }
}

/** Registers are decoded by type and order; an IIO or replayed number is already one. */
function extractorOf(channel: ChannelConfig | undefined, offset: number): Extract {
  const register = channel?.register
  if (register === undefined) return (words) => words[offset] ?? null
  return (words) => decodeRegister(words, offset, register.type, register.order)
}
