import { dirname } from 'node:path'
import type { ZoneFrame } from '../../shared/sample.ts'
import type { Config } from '../../shared/schemas/config.ts'
import type { DeviceHealth, Health } from '../../shared/schemas/health.ts'
import type { ZoneNow } from '../../shared/schemas/now.ts'
import type { FrameSink } from '../pipeline.ts'
import { AlarmEngine, type AlarmEngineOptions } from './engine.ts'
import type { RecordingFacts } from './facts.ts'
import { FreeBytes } from './free-bytes.ts'
import { OverloadWatch } from './overload-watch.ts'
import { StateFile } from './state-file.ts'

const DISK_EVERY_MS = 10_000

export interface PlantAlarmsOptions extends Omit<AlarmEngineOptions, 'keeper'> {
  readonly configPath: string
  /** What the recorder says of itself; null while nobody knows. */
  readonly recording: () => RecordingFacts | null
  /** Free bytes where the recorder writes; null while it does not. */
  readonly freeBytes: () => number | null
}

/** The alarms of a running gateway: the engine, with all that it looks at and the place where it keeps its states. */
export class PlantAlarms implements FrameSink {
  readonly engine: AlarmEngine
  readonly #options: PlantAlarmsOptions
  readonly #overload = new OverloadWatch()
  readonly #free: FreeBytes
  #timer: NodeJS.Timeout | null = null

  constructor(options: PlantAlarmsOptions) {
    this.#options = options
    this.#free = new FreeBytes(dirname(options.configPath))
    this.engine = new AlarmEngine({ ...options, keeper: new StateFile(options.configPath, options.log) })
  }

  async open(config: Config): Promise<void> {
    await Promise.all([this.engine.open(config), this.#free.ask()])
    this.#timer = setInterval(() => void this.#free.ask(), DISK_EVERY_MS)
    this.#timer.unref()
  }

  frame(zoneId: string, frame: ZoneFrame): void {
    this.#overload.frame(zoneId, frame)
  }

  look(zones: readonly ZoneNow[], devices: readonly DeviceHealth[]): void {
    this.engine.look({
      zones: new Map(zones.map((zone) => [zone.zone, zone])),
      devices: new Map(devices.map((device) => [device.id, device])),
      overload: (zone, side) => this.#overload.peak(zone, side),
      recording: this.#options.recording(),
      freeBytes: this.#options.freeBytes() ?? this.#free.bytes,
    })
    this.#overload.clear()
  }

  /** For the health of the gateway: what keeps alarms from reaching somebody, or from being remembered. */
  get trouble(): NonNullable<Health['alarms']> {
    const { webhook, notKept } = this.engine.list()
    return { webhook: webhook?.lastError ?? null, notKept }
  }

  async close(): Promise<void> {
    if (this.#timer !== null) clearInterval(this.#timer)
    await this.engine.close()
  }
}
