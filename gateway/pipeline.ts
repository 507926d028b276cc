import { isDeepStrictEqual } from 'node:util'
import type { MeasuredMinute } from '../lib/drift/minute-track.ts'
import type { RawReading, Sample, ZoneFrame } from '../shared/sample.ts'
import type { ChannelConfig, Config } from '../shared/schemas/config.ts'
import type { ZoneNow } from '../shared/schemas/now.ts'
import type { Clock } from './clock.ts'
import type { DevicePlan } from './poller/types.ts'
import { judgeAnswer, type ReadChannel } from './stages/answer-stage.ts'
import { ChannelStage } from './stages/channel-stage.ts'
import { Decoder } from './stages/decoder.ts'
import { rolesOf, type ZoneInputs, type ZoneRole, ZoneStage, zoneInputs } from './stages/zone-stage.ts'

/** Where samples, frames and the minutes made of them go, as they come: recorder, stream, alarms, the minutes of the shift. */
export interface FrameSink {
  /** Every sample of every channel, good or not. */
  sample?(channelId: string, sample: Sample): void
  frame?(zoneId: string, frame: ZoneFrame): void
  /** A minute of the zone has ended. */
  minute?(zoneId: string, minute: MeasuredMinute): void
}

/**
 * The way of one sample:
 *
 *   transport → decode → quality → scale → zone frame → statistics → verdicts → recorder → stream → plot
 *
 * The first and the last stage are elsewhere (gateway/transports, app). A stage that cannot go on
 * hands on a sample without a number and with the reason, so that a gap stays a gap to the end.
 * Work is O(1) a sample; verdicts are made when somebody looks (`now`), a few times a second.
 */
export class Pipeline {
  readonly channels: ReadonlyMap<string, ChannelStage>
  readonly zones: ReadonlyMap<string, ZoneStage>
  readonly #decoder: Decoder
  readonly #listeners: ReadonlyMap<string, readonly (readonly [ZoneStage, ZoneRole])[]>
  readonly #clock: Clock
  readonly #sinks: readonly FrameSink[]

  /** @param before the pipeline of the config before: zones and channels that did not change go on where they were */
  constructor(
    config: Config,
    plans: readonly DevicePlan[],
    clock: Clock,
    sinks: readonly FrameSink[],
    before?: Pipeline,
  ) {
    const channels = new Map(config.channels.map((c) => [c.id, c]))
    this.channels = new Map(config.channels.map((c) => [c.id, sameChannel(before, c) ?? new ChannelStage(c)]))
    this.zones = new Map(
      config.zones.map((z) => {
        const inputs = zoneInputs(config, z)
        return [z.id, sameZone(before, inputs) ?? new ZoneStage(inputs)]
      }),
    )
    this.#decoder = new Decoder(plans, channels)
    this.#listeners = listenersOf(this.zones)
    this.#clock = clock
    this.#sinks = sinks
  }

  /** One answer of a device, or the lack of one, goes the whole way. */
  accept(reading: RawReading): void {
    const read: ReadChannel[] = []
    for (const { channelId, raw } of this.#decoder.decode(reading)) {
      const channel = this.channels.get(channelId)
      if (channel !== undefined) read.push({ channel, raw })
    }
    judgeAnswer(read, reading)
    for (const { channel } of read) this.#hand(channel)
  }

  /** Hands the newest sample of a channel to the recorder, and to every zone that it is part of. */
  #hand({ config, last }: ChannelStage): void {
    if (last === null) return
    for (const sink of this.#sinks) sink.sample?.(config.id, last)
    for (const [zone, role] of this.#listeners.get(config.id) ?? [])
      for (const frame of zone.push(role, last)) this.#frame(zone, frame)
  }

  /** Called about ten times a second: a side that waits in vain for its partner is sent alone, a minute without frames ends. */
  tick(): void {
    const now = this.#clock.now()
    for (const zone of this.zones.values()) {
      for (const frame of zone.expire(now)) this.#frame(zone, frame)
      this.#minutes(zone, zone.endMinutes(this.#clock))
    }
  }

  /** Figures and verdicts of every zone at this moment. */
  now(): ZoneNow[] {
    return [...this.zones.values()].map((zone) => zone.now(this.#clock))
  }

  #frame(zone: ZoneStage, frame: ZoneFrame): void {
    this.#minutes(zone, zone.measure(frame, this.#clock.toEpoch))
    for (const sink of this.#sinks) sink.frame?.(zone.inputs.zone.id, frame)
  }

  #minutes(zone: ZoneStage, minutes: readonly MeasuredMinute[]): void {
    for (const minute of minutes) for (const sink of this.#sinks) sink.minute?.(zone.inputs.zone.id, minute)
  }
}

function listenersOf(zones: ReadonlyMap<string, ZoneStage>): Map<string, (readonly [ZoneStage, ZoneRole])[]> {
  const listeners = new Map<string, (readonly [ZoneStage, ZoneRole])[]>()
  for (const zone of zones.values())
    for (const [role, channelId] of rolesOf(zone.inputs.zone)) {
      const list = listeners.get(channelId) ?? []
      list.push([zone, role])
      listeners.set(channelId, list)
    }
  return listeners
}

function sameChannel(before: Pipeline | undefined, config: ChannelConfig): ChannelStage | undefined {
  const stage = before?.channels.get(config.id)
  return stage !== undefined && isDeepStrictEqual(stage.config, config) ? stage : undefined
}

function sameZone(before: Pipeline | undefined, inputs: ZoneInputs): ZoneStage | undefined {
  const stage = before?.zones.get(inputs.zone.id)
  return stage !== undefined && isDeepStrictEqual(measured(stage.inputs), measured(inputs)) ? stage : undefined
}

/** Alarms look at figures and change none. */
function measured({ zone: { alarms: _, ...zone }, ...inputs }: ZoneInputs) {
  return { ...inputs, zone }
}
