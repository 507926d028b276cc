import { randomUUID } from 'node:crypto'
import { type AlarmEvent, isAnnouncement } from '../../lib/alarms/event.ts'
import { type FirstOut, firstOut } from '../../lib/alarms/first-out.ts'
import { inFloodWindow } from '../../lib/alarms/flood.ts'
import { firstMemory, memoryOf, stateName, takeUp } from '../../lib/alarms/state.ts'
import { type AlarmInput, step } from '../../lib/alarms/step.ts'
import { EvenpullError } from '../../shared/errors.ts'
import type { Alarm, AlarmList, AlarmOff, AlarmShelving } from '../../shared/schemas/alarms.ts'
import type { Config } from '../../shared/schemas/config.ts'
import type { NewEvent } from '../../shared/schemas/events.ts'
import { alarmView, countsOf, floodView, inOrder } from './alarm-list.ts'
import { alarmsOf } from './alarms-of.ts'
import type { DefinedAlarm } from './defined-alarm.ts'
import { trailEvent } from './event-words.ts'
import type { AlarmFacts } from './facts.ts'
import type { HeldAlarm } from './held-alarm.ts'
import { type KeptStates, NOTHING_KEPT, type StateKeeper } from './kept-states.ts'
import { Saver } from './saver.ts'
import { Webhook } from './webhook.ts'

export interface AlarmEngineOptions {
  /** Epoch ms on the gateway's clock. */
  readonly now: () => number
  readonly keeper: StateKeeper
  /** Every transition, as a line of the trail. */
  readonly event: (event: NewEvent) => void
  /** Told at once of every transition, with all alarms as they are then. */
  readonly changed: (list: AlarmList) => void
  readonly log: (line: string) => void
  /** Waits between attempts of the webhook; for tests. */
  readonly webhookRetryMs?: (attempt: number) => number
}

/** Group of the alarms that belong to no zone, for first-out. */
const NO_ZONE = ''

/**
 * Every alarm of the config in force: takes looks at the plant and what people do, and hands on each transition. The
 * rules of one alarm are `lib/alarms`; here they are many, remembered across a restart, and said to whom it concerns.
 */
export class AlarmEngine {
  readonly #options: AlarmEngineOptions
  readonly #saver: Saver
  readonly #countedSinceMs: number
  /** What alarms remember that the config does not hold now: back in it, they go on from there. */
  #kept: KeptStates['alarms'] = {}
  readonly #firstOut = new Map<string, FirstOut>()
  #announcedMs: readonly number[] = []
  #isOpen = false
  #alarms = new Map<string, HeldAlarm>()
  #off: readonly AlarmOff[] = []
  #settings: Config['alarms'] | null = null
  #place: { readonly plant: string | null; readonly line: string | null } = { plant: null, line: null }
  #webhook: Webhook | null = null
  /** Of the process before, until there is a webhook to hand it to. */
  #undelivered: KeptStates['undelivered'] = null

  constructor(options: AlarmEngineOptions) {
    this.#options = options
    this.#countedSinceMs = options.now()
    this.#saver = new Saver(options.keeper, () => this.#toKeep())
  }

  /** Takes up what was kept; there are no alarms before. */
  async open(config: Config): Promise<void> {
    const kept = await this.#options.keeper.load()
    this.#kept = kept.alarms
    for (const [group, first] of Object.entries(kept.firstOut)) this.#firstOut.set(group, first)
    this.#announcedMs = kept.announcedMs
    this.#undelivered = kept.undelivered
    this.#isOpen = true
    this.configure(config)
    this.#undelivered = null
  }

  /** A config comes into force: alarms that it still has go on where they are. */
  configure(config: Config): void {
    const { alarms, off } = alarmsOf(config)
    const before = this.#toKeep().alarms
    const held = alarms.map((alarm) => [alarm.id, this.#held(alarm, before[alarm.id])] as const)
    this.#alarms = new Map(held)
    this.#kept = Object.fromEntries(Object.entries(before).filter(([id]) => !this.#alarms.has(id)))
    this.#off = off
    this.#place = { plant: config.plant ?? null, line: config.line ?? null }
    this.#rewire(config.alarms)
    this.#markFirst()
    this.#options.changed(this.list())
  }

  /** A look at the plant, about four times a second. */
  look(facts: AlarmFacts): void {
    const nowMs = this.#options.now()
    const happened = [...this.#alarms.values()].map((held) => {
      const { condition, reading } = held.alarm.look(facts)
      held.now = reading
      return this.#step(held, { kind: 'seen', condition }, nowMs)
    })
    void this.#settle(happened.flat())
  }

  acknowledge(id: string, who: string): Promise<Alarm> {
    return this.#act(id, { kind: 'acknowledge', who })
  }

  /** Throws EVP_REQUEST_INVALID above the longest shelving of the config, EVP_ALARM_STATE while out of service. */
  async shelve(id: string, { who, reason, minutes }: AlarmShelving): Promise<Alarm> {
    const { alarm, state } = this.#find(id)
    const most = alarm.rule.longestShelvingMs / 60_000
    if (minutes > most)
      throw new EvenpullError(
        'EVP_REQUEST_INVALID',
        `minutes: an alarm is shelved for at most ${most} min, got ${minutes}`,
      )
    if (state.outOfService !== null)
      throw new EvenpullError('EVP_ALARM_STATE', `${id} is out of service and cannot be shelved`)
    return this.#act(id, { kind: 'shelve', who, reason, forMs: minutes * 60_000 })
  }

  unshelve(id: string, who: string): Promise<Alarm> {
    return this.#act(id, { kind: 'unshelve', who })
  }

  takeOut(id: string, who: string, reason: string): Promise<Alarm> {
    return this.#act(id, { kind: 'take-out', who, reason })
  }

  putBack(id: string, who: string): Promise<Alarm> {
    return this.#act(id, { kind: 'put-back', who })
  }

  list(): AlarmList {
    const nowMs = this.#options.now()
    const alarms = inOrder([...this.#alarms.values()].map((held) => this.#view(held)))
    return {
      timeMs: nowMs,
      alarms,
      off: [...this.#off],
      counts: countsOf(alarms, this.#off.length),
      flood: floodView(this.#announcedMs, nowMs, this.#settings?.operator_positions ?? 1, this.#countedSinceMs),
      longestShelvingMinutes: (this.#settings?.longest_shelving_h ?? 0) * 60,
      webhook: this.#webhook?.state ?? null,
      notKept: this.#saver.failure,
    }
  }

  /** Keeps the newest states and lets go of the webhook. */
  async close(): Promise<void> {
    this.#webhook?.close()
    // What was never read must not be written over.
    if (!this.#isOpen) return
    if ((this.#webhook?.waiting.length ?? 0) > 0) void this.#saver.save()
    await this.#saver.close()
  }

  /** What a person does is done, and kept, when this resolves; where it cannot be kept, the list says so. */
  async #act(id: string, input: AlarmInput): Promise<Alarm> {
    const held = this.#find(id)
    const happened = this.#step(held, input, this.#options.now())
    const kept = this.#settle(happened)
    const view = this.#view(held)
    await kept
    return view
  }

  #find(id: string): HeldAlarm {
    const held = this.#alarms.get(id)
    if (held !== undefined) return held
    const off = this.#off.find((one) => one.id === id)
    const why = off === undefined ? 'GET /api/alarms lists those there are' : off.why
    throw new EvenpullError('EVP_NOT_FOUND', `no alarm ${JSON.stringify(id)}: ${why}`)
  }

  #held(alarm: DefinedAlarm, kept: KeptStates['alarms'][string] | undefined): HeldAlarm {
    const running = this.#alarms.get(alarm.id)
    if (running !== undefined) return { ...running, alarm }
    const nowMs = this.#options.now()
    const state = takeUp(kept?.memory ?? firstMemory(nowMs), nowMs)
    return { alarm, state, now: null, announced: kept?.announced ?? null }
  }

  #view(held: HeldAlarm): Alarm {
    const first = this.#firstOut.get(groupOf(held))
    return alarmView(held, first?.ids.includes(held.alarm.id) ?? false)
  }

  #step(held: HeldAlarm, input: AlarmInput, nowMs: number): Happened[] {
    const { state, events } = step(held.alarm.rule, held.state, input, nowMs)
    held.state = state
    if (events.some(({ kind }) => kind === 'activated')) held.announced = held.now
    else if (state.occurrence === null) held.announced = null
    return events.map((event) => ({ held, event }))
  }

  /** Transitions of one moment: counted, marked, said, and kept when it resolves. */
  #settle(happened: readonly Happened[]): Promise<void> {
    if (happened.length === 0) return Promise.resolve()
    const announced = happened.flatMap(({ event }) => (isAnnouncement(event) ? [event.atMs] : []))
    this.#announcedMs = inFloodWindow([...this.#announcedMs, ...announced], this.#options.now())
    this.#markFirst()
    for (const one of happened.toSorted((a, b) => a.event.atMs - b.event.atMs)) this.#say(one)
    this.#options.changed(this.list())
    return this.#saver.save()
  }

  #markFirst(): void {
    const all = [...this.#alarms.values()]
    for (const group of new Set(all.map(groupOf))) {
      const members = all.filter((held) => groupOf(held) === group)
      const memories = members.map(({ alarm, state }) => ({ id: alarm.id, memory: state }))
      const first = firstOut(this.#firstOut.get(group) ?? null, memories)
      if (first === null) this.#firstOut.delete(group)
      else this.#firstOut.set(group, first)
    }
  }

  #say({ held, event }: Happened): void {
    const line = trailEvent(held.alarm, event, { reading: held.now, state: stateName(held.state) })
    this.#options.event(line)
    if (isQuiet(held, event)) return
    this.#options.log(`alarm: ${line.text}`)
    // The id tells a receiver that it has this one already.
    this.#webhook?.send({ id: randomUUID(), ...this.#place, event: line })
  }

  #rewire(settings: Config['alarms']): void {
    const { webhook } = settings
    const before = this.#settings?.webhook
    this.#settings = settings
    if (webhook?.url === before?.url && webhook?.timeout_s === before?.timeout_s) return
    const undelivered = this.#undelivered ?? this.#toKeep().undelivered
    this.#webhook?.close()
    const { log, webhookRetryMs: retryMs } = this.#options
    if (webhook === undefined) {
      this.#webhook = null
      return
    }
    const { host } = new URL(webhook.url)
    const waiting = undelivered?.host === host ? undelivered.messages : []
    this.#webhook = new Webhook({ config: webhook, log, waiting, ...(retryMs && { retryMs }) })
  }

  #toKeep(): KeptStates {
    const running = [...this.#alarms.values()].map(({ alarm, state, announced }) => {
      return [alarm.id, { memory: memoryOf(state), announced }] as const
    })
    return {
      ...NOTHING_KEPT,
      alarms: { ...this.#kept, ...Object.fromEntries(running) },
      firstOut: Object.fromEntries(this.#firstOut),
      announcedMs: [...this.#announcedMs],
      undelivered: this.#webhook === null ? null : { host: this.#webhook.host, messages: this.#webhook.waiting },
    }
  }
}

interface Happened {
  readonly held: HeldAlarm
  readonly event: AlarmEvent
}

/** Data that come and go where nothing is wrong: a line of the trail, and nobody's business else. */
function isQuiet({ state }: HeldAlarm, { kind }: AlarmEvent): boolean {
  return (kind === 'lost' || kind === 'resumed') && state.occurrence === null
}

const groupOf = ({ alarm }: HeldAlarm): string => alarm.zone?.id ?? NO_ZONE
