import { randomUUID } from 'node:crypto'
import { dirname } from 'node:path'
import { fileURLToPath } from 'node:url'
import type { EvenpullError } from '../shared/errors.ts'
import { BACKLOG_SECONDS } from '../shared/protocol/version.ts'
import type { ZoneFrame } from '../shared/sample.ts'
import type { ChangeWritten } from '../shared/schemas/config-write.ts'
import type { NewEvent } from '../shared/schemas/events.ts'
import type { DeviceHealth, Health } from '../shared/schemas/health.ts'
import type { Access } from './access/access.ts'
import { openBindError } from './access/bind.ts'
import { openAccess } from './access/open-access.ts'
import { readUsers, userFileOf } from './access/user-file.ts'
import { PlantAlarms } from './alarms/plant-alarms.ts'
import { LeadingClock, systemClock } from './clock.ts'
import { type ConfigChange, ConfigFile } from './config/config-file.ts'
import { type LoadedConfig, loadConfig } from './config/load.ts'
import { watchConfig } from './config/watch.ts'
import { DeviceTrail } from './device-trail.ts'
import { Forwarding } from './forward/forwarding.ts'
import { accessOf } from './forward/queue-store.ts'
import type { GatewayOptions } from './gateway-options.ts'
import { gatewaySources } from './gateway-sources.ts'
import { channelsHealthOf, overallStatus } from './health.ts'
import { hostPolicy } from './http/host-policy.ts'
import { createGatewayServer, type GatewayServer } from './http/server.ts'
import { readTls, type TlsIdentity } from './http/tls.ts'
import { type FrameSink, Pipeline } from './pipeline.ts'
import { planRequests } from './poller/plan.ts'
import { startPolling } from './poller/polling.ts'
import { registerViewOf } from './poller/register-view.ts'
import { resolveRecordings } from './poller/resolve-recordings.ts'
import type { DevicePlan, Polling } from './poller/types.ts'
import { StoreRecorder } from './recorder/store-recorder.ts'
import { MinuteMemory } from './shift/minute-memory.ts'
import { Spectra } from './spectrum/spectra.ts'
import { backfillStream } from './stream/backfill.ts'
import { StreamHub } from './stream/hub.ts'
import { VERSION } from './version.ts'
import { zoneListOf } from './zone-list.ts'

const FIGURES_EVERY_MS = 250
const HEALTH_EVERY_MS = 1000
const EXPIRE_EVERY_MS = 100
const ACCESS_EVERY_MS = 1000
const PAGE_EXPORT = fileURLToPath(new URL('../out', import.meta.url))

/**
 * One gateway, wired: polling → pipeline → stream and HTTP, with the config watched.
 *
 * A new config takes effect as a whole: parts that did not change keep their connection, their
 * averages and their counts; a wrong edit changes nothing but `health.config.refused`.
 */
export class Gateway {
  readonly #options: GatewayOptions
  readonly #clock: LeadingClock
  readonly #startedMs: number
  readonly #recorder: StoreRecorder
  readonly #trail = new DeviceTrail()
  readonly #access: Access
  readonly #hub: StreamHub
  readonly #spectra: Spectra
  readonly #server: GatewayServer
  readonly #polling: Polling
  readonly #configFile: ConfigFile
  readonly #alarms: PlantAlarms
  readonly #forwarding: Forwarding
  readonly #sinks: readonly FrameSink[]
  readonly #endings: (() => void)[] = []
  readonly #minutes = new MinuteMemory(() => this.#loaded.revision)
  #loaded: LoadedConfig
  #loadedMs: number
  #pipeline: Pipeline
  #devices: readonly DeviceHealth[] = []
  #refused: Health['config']['refused'] = null
  #isRunning = false

  private constructor(
    options: GatewayOptions,
    loaded: LoadedConfig,
    access: Access,
    tls: TlsIdentity | null,
    recorder: StoreRecorder,
  ) {
    this.#recorder = recorder
    this.#clock = new LeadingClock(systemClock(recorder.newestMs))
    this.#startedMs = this.#clock.now()
    const { host, names = [] } = loaded.config.gateway
    const policy = hostPolicy(options.host ?? host, { names })
    this.#options = options
    this.#access = access
    this.#loaded = loaded
    this.#loadedMs = this.#epochMs()
    this.#configFile = new ConfigFile({
      path: options.configPath,
      nowEpochMs: () => Date.now(),
      log: options.log,
    })
    this.#hub = new StreamHub({
      version: VERSION,
      bootId: randomUUID(),
      clock: this.#clock,
      hostAllowed: policy.originAllowed,
      access,
      log: options.log,
    })
    this.#spectra = new Spectra(this.#clock, (zone, seconds) => this.#hub.recent(zone, seconds))
    this.#forwarding = new Forwarding({
      configPath: options.configPath,
      version: VERSION,
      store: () => accessOf(recorder),
      nowMs: () => this.#epochMs(),
      monotonicMs: () => performance.now(),
      random: Math.random,
      event: (event) => void recorder.event(event),
      log: options.log,
    })
    this.#alarms = new PlantAlarms({
      configPath: options.configPath,
      now: () => this.#epochMs(),
      recording: () => recorder.facts(),
      freeBytes: () => recorder.status().freeBytes,
      event: (event) => void recorder.event(event),
      changed: (list) => {
        this.#hub.alarms(list)
        this.#forwarding.alarms(list)
      },
      log: options.log,
    })
    this.#sinks = [recorder, this.#hub, this.#alarms, this.#minutes]
    this.#pipeline = new Pipeline(loaded.config, this.#plansOf(loaded), this.#clock, this.#sinks)
    this.#server = createGatewayServer({
      staticRoot: PAGE_EXPORT,
      hub: this.#hub,
      policy,
      ...(tls === null ? {} : { tls }),
      version: VERSION,
      nowMs: this.#clock.now,
      log: options.log,
      sources: gatewaySources({
        configPath: options.configPath,
        loaded: () => this.#loaded,
        pipeline: () => this.#pipeline,
        recorder,
        minutes: this.#minutes,
        spectra: this.#spectra,
        configFile: this.#configFile,
        alarms: this.#alarms.engine,
        access,
        clock: this.#clock,
        health: () => this.health(),
        readRegisters: (query) => registerViewOf(this.#polling, query),
        change: (change) => this.#change(change),
      }),
    })
    this.#polling = startPolling(
      {
        readings: (batch) => {
          for (const reading of batch) {
            if (reading.kind === 'gap' && reading.errorCode === 'EVP_REPLAY_ENDED')
              options.recordingEnded?.(this.#pipeline.now()) // before the gap: after it nothing good is left
            this.#clock.follow(reading.tMs)
            this.#pipeline.accept(reading)
          }
        },
        health: (devices) => {
          this.#devices = devices
          for (const event of this.#trail.look(devices, this.#epochMs())) void recorder.event(event)
          this.#hub.health(this.health())
        },
        failed: (error) => void this.stop().then(() => options.failed(error)),
      },
      this.#clock,
    )
  }

  /**
   * Starts a gateway and returns it with the address it is bound to. Rejects with an EvenpullError
   * (config refused, port taken …), leaving nothing behind.
   */
  static async start(
    options: GatewayOptions,
  ): Promise<{ gateway: Gateway; host: string; port: number; protocol: 'http' | 'https' }> {
    const loaded = await loadConfig(options.configPath)
    const { port, tls: tlsFiles } = loaded.config.gateway
    const host = options.host ?? loaded.config.gateway.host
    const tls = tlsFiles === undefined ? null : await readTls(tlsFiles, options.configPath, Date.now())
    // Before anything is opened: a file of users that cannot be read, or users that are missing, end the start.
    const hasUsers = (await readUsers(userFileOf(options.configPath))).length > 0
    const open = openBindError(host, hasUsers, { path: options.configPath, text: null })
    if (open !== null) throw open
    const recorder = await StoreRecorder.open({ ...options, wallMs: () => Date.now() }, loaded)
    const access = await openAccess(options, loaded, host, recorder)
    const gateway = new Gateway(options, loaded, access, tls, recorder)
    try {
      await gateway.#configFile.open()
      await gateway.#alarms.open(loaded.config)
      const address = await gateway.#server.listen(host, options.port ?? port)
      await gateway.#run()
      return { gateway, ...address, protocol: tls === null ? 'http' : 'https' }
    } catch (error) {
      await gateway.stop()
      throw error
    }
  }

  health(): Health {
    const alarms = this.#alarms.trouble
    const recorder = this.#recorder.status()
    const forward = this.#forwarding.health
    const isTroubled =
      this.#refused !== null ||
      recorder.error !== null ||
      forward.mqtt?.state === 'waiting' ||
      Object.values(alarms).some((why) => why !== null)
    return {
      status: overallStatus(this.#devices, isTroubled),
      version: VERSION,
      timeMs: this.#epochMs(),
      upSeconds: (this.#clock.now() - this.#startedMs) / 1000,
      memoryMb: process.memoryUsage.rss() / 1e6,
      clients: this.#hub.clients,
      config: {
        file: this.#options.configPath,
        revision: this.#loaded.revision,
        loadedMs: this.#loadedMs,
        refused: this.#refused,
      },
      recorder,
      forward,
      devices: [...this.#devices],
      channels: channelsHealthOf(this.#loaded.config, this.#pipeline.channels.values(), this.#clock),
      alarms,
      ...(this.#loaded.config.training === undefined ? {} : { training: true }),
    }
  }

  async stop(): Promise<void> {
    for (const end of this.#endings.splice(0)) end()
    await Promise.all([this.#polling.stop(), this.#hub.close()])
    await this.#server.close()
    await this.#alarms.close()
    await this.#access.save()
    if (this.#isRunning) await this.#tell('gateway', 'The gateway was stopped.', {})
    await this.#forwarding.close()
    await this.#recorder.close()
  }

  async #run(): Promise<void> {
    this.#isRunning = true
    this.#recorder.start(this.#clock, this.#clock.unled)
    const { config, revision } = this.#loaded
    this.#recorder.onEvent((event) => this.#forwarding.event(event))
    this.#forwarding.configure(config, revision)
    await this.#backfill()
    void this.#tell('gateway', `The gateway was started (version ${VERSION}).`, { version: VERSION, revision })
    this.#every(FIGURES_EVERY_MS, () => this.#look())
    this.#every(HEALTH_EVERY_MS, () => {
      this.#hub.health(this.health())
      this.#hub.alarms(this.#alarms.engine.list())
    })
    this.#every(EXPIRE_EVERY_MS, () => this.#pipeline.tick())
    this.#every(ACCESS_EVERY_MS, () => void this.#access.tick())
    const watcher = watchConfig(
      this.#options.configPath,
      { applied: (loaded) => this.#byHand(loaded), refused: (errors) => this.#refuse(errors) },
      { revision: this.#loaded.revision },
    )
    this.#endings.push(() => watcher.stop())
    this.#poll()
  }

  /** What the store has of the last minutes goes to the stream, before anything new does. */
  async #backfill(): Promise<void> {
    const { config, revision } = this.#loaded
    this.#hub.configure(zoneListOf(config), revision)
    if (!this.#recorder.hasSince(BACKLOG_SECONDS * 1000)) return
    const frame = (zone: string, made: ZoneFrame) => this.#hub.frame(zone, made)
    try {
      await backfillStream({ config, clock: this.#clock, recorder: this.#recorder, frame })
    } catch (error) {
      this.#options.log(`the last minutes could not be read from the store: ${String(error)}`)
    }
  }

  /** One picture for pages and alarms alike. */
  #look(): void {
    const zones = this.#pipeline.now()
    this.#hub.now(zones)
    this.#alarms.look(zones, this.#devices)
    this.#forwarding.look(zones, this.#devices)
  }

  #every(ms: number, act: () => void): void {
    const timer = setInterval(act, ms)
    this.#endings.push(() => clearInterval(timer))
  }

  /** Hands the config in force to the stream and the polling process. */
  #poll(): void {
    const { config, revision } = this.#loaded
    this.#hub.configure(zoneListOf(config), revision)
    this.#polling.apply(this.#plansOf(this.#loaded))
  }

  #plansOf({ config }: LoadedConfig): DevicePlan[] {
    return resolveRecordings(planRequests(config), dirname(this.#options.configPath))
  }

  /** What the watcher found in the file; a change of ours is in force already. */
  #byHand(loaded: LoadedConfig): void {
    void this.#configFile.noticed()
    if (loaded.revision === this.#loaded.revision && this.#refused === null) return
    const host = this.#options.host ?? loaded.config.gateway.host
    const open = openBindError(host, this.#access.hasUsers, { path: this.#options.configPath, text: null })
    if (open === null) this.#apply(loaded)
    else this.#refuse([open])
  }

  async #change(change: ConfigChange): Promise<ChangeWritten> {
    const loaded = await this.#configFile.change(change)
    if (loaded.revision !== this.#loaded.revision) this.#apply(loaded)
    return { revision: loaded.revision }
  }

  #apply(loaded: LoadedConfig): void {
    const { config, revision } = loaded
    this.#options.log(`config ${revision} applied`)
    void this.#tell('config', `Config ${revision} came into force.`, { revision, previous: this.#loaded.revision })
    this.#recorder.configure(config, revision)
    this.#loaded = loaded
    this.#loadedMs = this.#epochMs()
    this.#refused = null
    this.#pipeline = new Pipeline(config, this.#plansOf(loaded), this.#clock, this.#sinks, this.#pipeline)
    this.#alarms.engine.configure(config)
    this.#forwarding.configure(config, revision)
    this.#poll()
    this.#hub.health(this.health())
  }

  #refuse(errors: readonly EvenpullError[]): void {
    this.#options.log(`config edit refused, ${this.#loaded.revision} keeps running: ${errors[0]?.message ?? ''}`)
    this.#refused = { timeMs: this.#epochMs(), errors: errors.map((error) => error.toJSON()) }
    this.#hub.health(this.health())
  }

  /** A line of the trail that nobody in particular answers for. */
  async #tell(kind: NewEvent['kind'], text: string, data: NewEvent['data']): Promise<void> {
    await this.#recorder.event({ timeMs: this.#epochMs(), kind, zone: null, who: null, text, data })
  }

  #epochMs(): number {
    return this.#clock.toEpoch(this.#clock.now())
  }
}
