import { isDeepStrictEqual } from 'node:util'
import type { AlarmList } from '../../shared/schemas/alarms.ts'
import type { Config } from '../../shared/schemas/config.ts'
import type { StoredEvent } from '../../shared/schemas/events.ts'
import type { ForwardHealth } from '../../shared/schemas/forward-status.ts'
import type { DeviceHealth } from '../../shared/schemas/health.ts'
import type { ZoneNow } from '../../shared/schemas/now.ts'
import { MqttDestination, type MqttDestinationOptions } from './mqtt-destination.ts'
import { type MqttSettings, mqttSettingsOf } from './settings.ts'

export interface ForwardingOptions extends Omit<MqttDestinationOptions, 'settings'> {
  readonly configPath: string
}

/** Every destination of the config in force. A new kind is a key of `forward` in the config, and a field here. */
export class Forwarding {
  readonly #options: ForwardingOptions
  #settings: MqttSettings | null = null
  #mqtt: MqttDestination | null = null
  /** The end of the one before; the next begins after it, so that they do not meet at the broker or in the store. */
  #ending: Promise<void> = Promise.resolve()
  #isEnding = false
  #names: ReadonlyMap<string, string> = new Map()
  #revision = ''
  #alarms: AlarmList | null = null
  #isClosed = false

  constructor(options: ForwardingOptions) {
    this.#options = options
  }

  /** A config comes into force; a destination whose settings are the same keeps its connection. */
  configure(config: Config, revision: string): void {
    this.#names = new Map(config.zones.map(({ id, name }) => [id, name ?? id]))
    this.#revision = revision
    const settings = mqttSettingsOf(config, this.#options.configPath)
    if (isDeepStrictEqual(settings, this.#settings)) return
    this.#settings = settings
    const before = this.#mqtt
    this.#mqtt = null
    if (before === null && !this.#isEnding) this.#begin(settings)
    else void this.#exchange(before, settings)
  }

  look(zones: readonly ZoneNow[], devices: readonly DeviceHealth[]): void {
    this.#mqtt?.look({ zones, devices, names: this.#names, revision: this.#revision })
  }

  event(event: StoredEvent): void {
    this.#mqtt?.event(event)
  }

  alarms(list: AlarmList): void {
    this.#alarms = list
    this.#mqtt?.alarms(list)
  }

  get health(): ForwardHealth {
    return { mqtt: this.#mqtt?.status ?? null }
  }

  async close(): Promise<void> {
    this.#isClosed = true
    await this.#ending
    await this.#mqtt?.close()
  }

  async #exchange(before: MqttDestination | null, settings: MqttSettings | null): Promise<void> {
    this.#isEnding = true
    this.#ending = this.#ending.then(() => before?.close())
    await this.#ending
    if (settings !== this.#settings) return // another one has come meanwhile
    this.#isEnding = false
    this.#begin(settings)
  }

  #begin(settings: MqttSettings | null): void {
    if (this.#isClosed || settings === null) return
    this.#mqtt = new MqttDestination({ ...this.#options, settings })
    if (this.#alarms !== null) this.#mqtt.alarms(this.#alarms)
  }
}
