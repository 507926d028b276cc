import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { setTimeout as wait } from 'node:timers/promises'
import type { Health } from '../../shared/schemas/health.ts'
import { type Broker, type Subscriber, startBroker, subscribe } from '../integration/support/broker.ts'
import { missing } from '../integration/support/installed.ts'
import { lineText, TOPIC } from './line.ts'
import { type OpenFiles, openFilesOver } from './open-files.ts'
import {
  ACTS,
  type ActKind,
  CLOCK_STEP_MS,
  type ExplainedGap,
  type Explanation,
  explain,
  OFF_MS,
  STRETCH,
} from './plan.ts'
import { writeRecordedDay } from './recorded-day.ts'
import { type Rested, rest } from './rest.ts'
import { StoreScan, type StoreSizes } from './store-scan.ts'
import { visit } from './visit.ts'
import { makeAhead, WatchedGateway } from './watched-gateway.ts'

const DAY_MS = 86_400_000
const LOOK_MS = 500
const GIVE_UP_MS = 60_000
/** How long it is watched at the rate of a line, each time, and the first time in the long stretch. */
const REST_S = 4
const LONG_REST_S = 30
const STARTS_BEFORE_STRETCH = ACTS.filter(
  ({ at, kind }) => at <= STRETCH.from && (kind === 'stop' || kind === 'kill'),
).length
/** A start, and what came of it, may take so long of the simulated day beside the time the machine is off. */
const START_MS = 60_000
/** What was read so long before a kill, by the machine's clock, is on the disk; the promise is one second. */
const ON_DISK_AFTER_MS = 2000

export interface EnduranceSettings {
  readonly days: number
  readonly rateHz: number
  readonly speed: number | 'max'
  /** How often, evenly over the run, the gateway is let come to rest and looked at. */
  readonly rests: number
  readonly say: (line: string) => void
}

/** The gateway at rest, and when that was. */
export interface TimedRest extends Rested {
  readonly day: number
  readonly timeMs: number
  readonly isInStretch: boolean
}

/** One look at the processes and the store. */
export interface Look {
  /** Days of the run that have been played, and the gateway's time. */
  readonly day: number
  readonly timeMs: number
  readonly isInStretch: boolean
  readonly rssMb: number
  readonly heapMb: number | null
  readonly externalMb: number | null
  readonly handles: number | null
  readonly fds: number
  readonly threads: number
  readonly pollingRssMb: number | null
  readonly pollingFds: number | null
  readonly samples: number
  readonly sizes: StoreSizes
}

export interface Endured {
  readonly settings: EnduranceSettings
  readonly seconds: number
  readonly keptMb: number
  readonly keptDays: { readonly rollUps: number; readonly minutes: number }
  readonly looks: readonly Look[]
  readonly rests: readonly TimedRest[]
  readonly gaps: readonly ExplainedGap[]
  readonly planned: readonly Explanation[]
  readonly samples: number
  readonly disordered: number
  /** Samples that the recorder says it could not keep: while the disk was low, and otherwise. */
  readonly lost: { readonly diskLow: number; readonly otherwise: number }
  /** Of each kill: newest sample on the disk less the gateway's time some moments before; not negative. */
  readonly killsMs: readonly number[]
  /** Part of the 10 s figures that are there of the time in which single samples were not kept. */
  readonly rollUpsWhileLow: number | null
  readonly clockSteps: readonly number[]
  readonly ages: { readonly rollUpDays: number; readonly minuteDays: number }
  /** Numbers of messages at the broker: missing ones, all. Null without a broker. */
  readonly messages: { readonly heard: number; readonly missing: number; readonly dropped: number } | null
  readonly openFiles: OpenFiles
}

/** Runs the whole plan; what it started is gone when it resolves or rejects. */
export async function endure(settings: EnduranceSettings): Promise<Endured> {
  makeAhead()
  const folder = mkdtempSync(join(tmpdir(), 'evenpull-endure-'))
  const hasBroker = missing('mosquitto', 'mosquitto_sub') === null
  const broker = hasBroker ? await startBroker() : null
  const run = new EnduranceRun(settings, folder, broker)
  try {
    return await run.all()
  } finally {
    await run.leave()
    await broker?.stop()
    rmSync(folder, { recursive: true, force: true })
  }
}

/** Assumed for the limit alone: so that it is reached after two thirds of the run. */
const BYTES_A_SAMPLE = 0.7

class EnduranceRun {
  readonly #settings: EnduranceSettings
  readonly #folder: string
  readonly #config: string
  readonly #broker: Broker | null
  readonly #gateway: WatchedGateway
  readonly #scan: StoreScan
  readonly #kept: { samplesMb: number; rollUpDays: number; minuteDays: number }
  readonly #planned: Explanation[] = []
  readonly #looks: Look[] = []
  readonly #killsMs: number[] = []
  readonly #lost = { diskLow: 0, otherwise: 0 }
  readonly #seen: { atMs: number; timeMs: number }[] = []
  readonly #heard: { queue: string; seq: number }[] = []
  #subscriber: Subscriber | null = null
  #beganMs = 0
  #health: Health | null = null
  #lostBefore = 0
  #lowFromMs: number | null = null
  #rollUpsWhileLow: number | null = null
  #dropped = 0
  #visitedDay = 0
  readonly #rests: TimedRest[] = []
  #restsDue = 1
  #starts = 0

  constructor(settings: EnduranceSettings, folder: string, broker: Broker | null) {
    const { days, rateHz } = settings
    this.#settings = settings
    this.#folder = folder
    this.#config = join(folder, 'line.yaml')
    this.#broker = broker
    this.#gateway = new WatchedGateway(folder, this.#config)
    this.#scan = new StoreScan(join(folder, '.evenpull', 'line.yaml.replay.sqlite'), 1500 / rateHz)
    this.#kept = {
      samplesMb: (days * 86_400 * rateHz * 2 * BYTES_A_SAMPLE * 2) / 3 / 1e6,
      rollUpDays: days * 0.6,
      minuteDays: days * 0.5,
    }
  }

  async all(): Promise<Endured> {
    const { days, rateHz, say } = this.#settings
    const started = performance.now()
    writeRecordedDay(join(this.#folder, 'day.csv'), rateHz)
    this.#writeConfig(false)
    this.#gateway.setWall(Date.now() - days * DAY_MS)
    this.#beganMs = this.#gateway.wallMs
    await this.#listen()
    await this.#gateway.start()
    for (const { at, kind } of ACTS) {
      await this.#until(at * days)
      say(`day ${this.#day.toFixed(2)}: ${kind}`)
      await this.#act(kind)
    }
    await this.#until(days)
    await this.#gateway.end('SIGTERM')
    this.#scan.lookAtAll()
    return this.#result((performance.now() - started) / 1000)
  }

  async leave(): Promise<void> {
    await this.#gateway.end('SIGKILL')
    await this.#subscriber?.stop()
  }

  get #day(): number {
    return ((this.#health?.timeMs ?? this.#beganMs) - this.#beganMs) / DAY_MS
  }

  /** Looks again and again until the run has come so far. */
  async #until(day: number): Promise<void> {
    while (this.#day < day) {
      await wait(LOOK_MS)
      await this.#look()
      if (Math.floor(this.#day * 2) > this.#visitedDay) {
        this.#visitedDay = Math.floor(this.#day * 2)
        await this.#visit()
      }
      await this.#restWhenDue()
    }
  }

  #visit(): Promise<void> {
    return visit(this.#gateway, this.#health?.timeMs ?? 0)
  }

  async #restWhenDue(): Promise<void> {
    const { days, rests, rateHz, say } = this.#settings
    const due = Math.floor((this.#day / days) * rests)
    if (due < this.#restsDue || this.#day >= days) return
    this.#restsDue = due + 1
    const [day, timeMs, isInStretch] = [this.#day, this.#health?.timeMs ?? 0, this.#isInStretch]
    const seconds = this.#rests.some((one) => one.isInStretch) ? REST_S : LONG_REST_S
    const rested = await rest(this.#gateway, { rateHz, seconds, visit: () => this.#visit() })
    this.#rests.push({ ...rested, day, timeMs, isInStretch })
    const { rssMb, heapMb, highestMb } = rested
    say(
      `day ${day.toFixed(2)}: at rest ${rssMb.toFixed(0)} MB (heap ${heapMb?.toFixed(0) ?? '–'} MB); in ${seconds} s at the rate of a line at most ${highestMb.toFixed(0)} MB`,
    )
  }

  get #isInStretch(): boolean {
    return this.#starts === STARTS_BEFORE_STRETCH && this.#day / this.#settings.days <= STRETCH.to
  }

  async #look(): Promise<void> {
    const atMs = performance.now()
    const health = await this.#gateway.health()
    this.#health = health
    this.#seen.push({ atMs, timeMs: health.timeMs })
    this.#countLost(health)
    this.#scan.look()
    const facts = this.#gateway.facts()
    if (facts === null) return
    const inside = this.#gateway.inside()
    const polling = this.#gateway.pollingFacts()
    this.#looks.push({
      day: this.#day,
      timeMs: health.timeMs,
      isInStretch: this.#isInStretch,
      ...facts,
      heapMb: inside?.heapMb ?? null,
      externalMb: inside?.externalMb ?? null,
      handles: inside?.handles ?? null,
      pollingRssMb: polling?.rssMb ?? null,
      pollingFds: polling?.fds ?? null,
      samples: this.#scan.samples,
      sizes: this.#scan.sizes(),
    })
  }

  #countLost({ recorder, forward }: Health): void {
    const more = recorder.lostSamples - this.#lostBefore
    this.#lostBefore = recorder.lostSamples
    if (this.#lowFromMs !== null) this.#lost.diskLow += more
    else this.#lost.otherwise += more
    this.#dropped = Math.max(this.#dropped, forward?.mqtt?.dropped ?? 0)
  }

  async #act(kind: ActKind): Promise<void> {
    switch (kind) {
      case 'stop':
        return this.#restart('SIGTERM')
      case 'kill':
        return this.#restart('SIGKILL')
      case 'disk-low':
        this.#lowFromMs = this.#health?.timeMs ?? 0
        this.#writeConfig(true)
        return this.#untilRecorder('roll-ups-only')
      case 'disk-again':
        this.#writeConfig(false)
        await this.#untilRecorder('running')
        return this.#afterLow()
      case 'broker-gone':
        await this.#broker?.kill()
        return this.#untilHealth(({ forward }) => (forward?.mqtt?.state ?? 'waiting') !== 'connected')
      case 'broker-back':
        return this.#brokerBack()
      case 'clock-forward':
        return this.#stepClock(CLOCK_STEP_MS)
      case 'clock-back':
        return this.#stepClock(-CLOCK_STEP_MS)
    }
  }

  /** Off for two minutes of the line's time; the wall clock is where the recording has come to, as it would be. */
  async #restart(signal: 'SIGTERM' | 'SIGKILL'): Promise<void> {
    const atMs = performance.now()
    const sure = this.#seen.filter((one) => one.atMs < atMs - ON_DISK_AFTER_MS).at(-1)
    await this.#gateway.end(signal)
    const newestMs = this.#scan.newestMs() ?? this.#beganMs
    if (signal === 'SIGKILL' && sure !== undefined) this.#killsMs.push(newestMs - sure.timeMs)
    this.#gateway.setWall(newestMs + OFF_MS)
    this.#lostBefore = 0
    await this.#gateway.start()
    this.#starts += 1
    const why = signal === 'SIGTERM' ? 'stopped and started again' : 'killed and started again'
    this.#planned.push({ fromMs: newestMs, toMs: newestMs + OFF_MS + START_MS, why })
    await this.#look()
    // What is opened and filled once, by the first who asks, is there before the first look at rest.
    await this.#visit()
  }

  #untilRecorder(state: string): Promise<void> {
    return this.#untilHealth(({ recorder }) => recorder.state === state)
  }

  #untilHealth(enough: (health: Health) => boolean): Promise<void> {
    return this.#untilTrue(() => this.#health !== null && enough(this.#health))
  }

  /** Until the recorder has seen it: it looks every second. */
  #stepClock(ms: number): Promise<void> {
    const before = this.#scan.clockSteps().length
    this.#gateway.setWall(this.#gateway.wallMs + ms)
    return this.#untilTrue(() => this.#scan.clockSteps().length > before)
  }

  /** Looks until it is so; what never comes shows in the verdicts. */
  async #untilTrue(enough: () => boolean): Promise<void> {
    const deadline = performance.now() + GIVE_UP_MS
    do {
      await wait(LOOK_MS)
      await this.#look()
    } while (!enough() && performance.now() < deadline)
  }

  #afterLow(): void {
    const fromMs = this.#lowFromMs ?? 0
    const toMs = this.#health?.timeMs ?? 0
    this.#lowFromMs = null
    this.#planned.push({ fromMs, toMs, why: 'the disk was low: figures alone' })
    const due = (toMs - fromMs) / 10_000
    this.#rollUpsWhileLow = due > 0 ? this.#scan.rollUps('drive-cell', fromMs, toMs) / due : null
  }

  #writeConfig(isDiskLow: boolean): void {
    const { rateHz, speed } = this.#settings
    const line = { recording: 'day.csv', rateHz, speed, kept: this.#kept, brokerPort: this.#broker?.port ?? null }
    writeFileSync(this.#config, lineText({ ...line, minFreeMb: isDiskLow ? 1e9 : 50 }))
  }

  async #listen(): Promise<void> {
    if (this.#broker !== null) this.#subscriber = await subscribe(this.#broker.port, TOPIC)
  }

  async #brokerBack(): Promise<void> {
    this.#keepHeard()
    await this.#subscriber?.stop()
    this.#subscriber = null
    await this.#broker?.startAgain()
    await this.#listen()
    if (this.#broker !== null) await this.#untilHealth(({ forward }) => forward?.mqtt?.state === 'connected')
  }

  #keepHeard(): void {
    for (const { payload, retain } of this.#subscriber?.heard.splice(0) ?? [])
      if (retain === 0 && typeof payload?.seq === 'number') this.#heard.push({ queue: payload.queue, seq: payload.seq })
  }

  #messages(): Endured['messages'] {
    if (this.#broker === null) return null
    this.#keepHeard()
    const numbers = new Map<string, Set<number>>()
    for (const { queue, seq } of this.#heard) numbers.set(queue, (numbers.get(queue) ?? new Set()).add(seq))
    const lacking = [...numbers.values()].map((seqs) => Math.max(...seqs) - Math.min(...seqs) + 1 - seqs.size)
    return { heard: this.#heard.length, missing: lacking.reduce((a, b) => a + b, 0), dropped: this.#dropped }
  }

  #result(seconds: number): Endured {
    const wallMs = this.#gateway.wallMs
    const newestMs = this.#scan.newestMs() ?? 0
    const daysSince = (ms: number | null) => (ms === null ? 0 : (newestMs - ms) / DAY_MS)
    return {
      settings: this.#settings,
      seconds,
      keptMb: this.#kept.samplesMb,
      keptDays: { rollUps: this.#kept.rollUpDays, minutes: this.#kept.minuteDays },
      looks: this.#looks,
      rests: this.#rests,
      gaps: explain(this.#scan.gaps, this.#planned),
      planned: this.#planned,
      samples: this.#scan.samples,
      disordered: this.#scan.disordered,
      lost: this.#lost,
      killsMs: this.#killsMs,
      rollUpsWhileLow: this.#rollUpsWhileLow,
      clockSteps: this.#scan.clockSteps(),
      ages: {
        rollUpDays: daysSince(this.#scan.oldestMs('rollup')) - (newestMs - wallMs) / DAY_MS,
        minuteDays: daysSince(this.#scan.oldestMs('minute')) - (newestMs - wallMs) / DAY_MS,
      },
      messages: this.#messages(),
      openFiles: openFilesOver(this.#rests),
    }
  }
}
