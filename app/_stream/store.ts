import { useSyncExternalStore } from 'react'
import { config as zodConfig } from 'zod'
import { expectedPointsOf } from '../../shared/protocol/expected.ts'
import type { HelloMessage } from '../../shared/protocol/messages.ts'
import type { SampleBatch } from '../../shared/protocol/sample-batch.ts'
import { BACKLOG_SECONDS, STREAM_PATH } from '../../shared/protocol/version.ts'
import type { Side } from '../../shared/sample.ts'
import type { AlarmList } from '../../shared/schemas/alarms.ts'
import type { Health } from '../../shared/schemas/health.ts'
import type { ZoneNow } from '../../shared/schemas/now.ts'
import type { ZoneInfo } from '../../shared/schemas/zones.ts'
import { keepVerbatim } from '../_language/current.ts'
import { isLetIn, onSession, refreshSession, sessionNow } from '../_ui/access/session.ts'
import { ClockAlignment } from './alignment.ts'
import { Connection, type Link, type SocketLike, type Surroundings } from './connection.ts'
import { ExpectedHistory } from './expected-history.ts'
import { LastGood } from './last-good.ts'
import { ZoneRing } from './ring.ts'

/** Rows kept beyond ten minutes at the asked rate: a device may answer a little faster than asked. */
const RING_RESERVE = 1.25
const LEAST_ROWS = 1024

// The content security policy forbids compiling code from text; without this zod would try once and be refused.
zodConfig({ jitless: true })

export type SamplesListener = (zoneId: string, ring: ZoneRing) => void

/**
 * What this page knows of the gateway, outside React: statistics change four times a second, samples a
 * hundred. Components read the slow part with the hooks below and draw the fast part from the rings.
 */
class StreamStore {
  readonly #surroundings: Surroundings
  readonly #connection: Connection
  readonly #alignment = new ClockAlignment()
  readonly #rings = new Map<string, ZoneRing>()
  readonly #changeListeners = new Set<() => void>()
  readonly #sampleListeners = new Set<SamplesListener>()
  readonly #zones = new Map<string, ZoneNow>()
  readonly #expected = new Map<string, ExpectedHistory>()
  readonly #lastGood = new LastGood()
  #hello: HelloMessage | null = null
  #firstVersion: string | null = null
  #health: Health | null = null
  #alarms: AlarmList | null = null
  #pictureMs: number | null = null

  constructor(surroundings: Surroundings) {
    this.#surroundings = surroundings
    this.#connection = new Connection(surroundings, {
      link: () => this.#changed(),
      closed: () => void refreshSession(),
      hello: (message, isContinued) => this.#greeted(message, isContinued),
      now: ({ timeMs, zones }) => {
        this.#alignment.note(timeMs, surroundings.now())
        this.#pictureMs = timeMs
        for (const zone of zones) this.#take(zone)
        this.#changed()
      },
      health: ({ health }) => {
        this.#health = health
        keepVerbatim([...health.devices, ...health.channels].map(({ name }) => name))
        this.#changed()
      },
      alarms: ({ alarms }) => {
        this.#alarms = alarms
        this.#changed()
      },
      expected: (message) => {
        this.#historyOf(message.zone).fill(expectedPointsOf(message))
        this.#changed()
      },
      batch: (zoneId, batch) => this.#addSamples(zoneId, batch),
    })
  }

  start(): void {
    this.#connection.start()
  }

  /** Nobody is let in any more: no figure of before may stand. */
  stop(): void {
    this.#connection.stop()
    this.#zones.clear()
    this.#expected.clear()
    this.#lastGood.clear()
    this.#pictureMs = null
    this.#changed()
  }

  wake(): void {
    this.#connection.wake()
  }

  want(zoneIds: readonly string[]): void {
    this.#connection.want(zoneIds)
  }

  get link(): Link {
    return this.#connection.link
  }

  get hello(): HelloMessage | null {
    return this.#hello
  }

  get health(): Health | null {
    return this.#health
  }

  /** As told last, of whatever age. */
  get alarms(): AlarmList | null {
    return this.#alarms
  }

  /** Gateway time of the newest statistics, epoch ms; null before the first. */
  get pictureMs(): number | null {
    return this.#pictureMs
  }

  /** The gateway was replaced by another version since this page was loaded: the page may not fit it. */
  get isOtherVersion(): boolean {
    return this.#hello !== null && this.#hello.version !== this.#firstVersion
  }

  zoneNow(zoneId: string): ZoneNow | null {
    return this.#zones.get(zoneId) ?? null
  }

  expectedOf(zoneId: string): ExpectedHistory | null {
    return this.#expected.get(zoneId) ?? null
  }

  /** Epoch ms of the newest usable sample of a side; null when none is known. */
  lastGoodMs(zoneId: string, side: Side): number | null {
    return this.#lastGood.of(zoneId, side, this.ringOf(zoneId))
  }

  ringOf(zoneId: string): ZoneRing | null {
    return this.#rings.get(zoneId) ?? null
  }

  /** The gateway's clock now, epoch ms; null before its first word. */
  gatewayNow(): number | null {
    return this.#alignment.gatewayNow(this.#surroundings.now())
  }

  /** Monotonic ms of this browser, the scale of `link.sinceMs`. */
  localNow(): number {
    return this.#surroundings.now()
  }

  onChange(listener: () => void): () => void {
    this.#changeListeners.add(listener)
    return () => this.#changeListeners.delete(listener)
  }

  onSamples(listener: SamplesListener): () => void {
    this.#sampleListeners.add(listener)
    return () => this.#sampleListeners.delete(listener)
  }

  #take(zone: ZoneNow): void {
    this.#zones.set(zone.zone, zone)
    this.#lastGood.note(zone)
    this.#historyOf(zone.zone).note(zone)
  }

  #historyOf(zone: string): ExpectedHistory {
    const known = this.#expected.get(zone)
    if (known !== undefined) return known
    const made = new ExpectedHistory()
    this.#expected.set(zone, made)
    return made
  }

  #changed(): void {
    for (const listener of this.#changeListeners) listener()
  }

  #greeted(message: HelloMessage, isContinued: boolean): void {
    this.#hello = message
    const { plant, line, zones } = message.zones
    keepVerbatim([plant, line, ...zones.map(({ name }) => name)])
    this.#firstVersion ??= message.version
    this.#alignment.clear()
    this.#alignment.note(message.timeMs, this.#surroundings.now())
    if (!isContinued) {
      this.#zones.clear()
      this.#expected.clear()
      this.#lastGood.clear()
      this.#rings.clear()
      for (const zone of message.zones.zones) this.#rings.set(zone.id, makeRing(zone))
    }
    this.#changed()
  }

  #addSamples(zoneId: string, batch: SampleBatch): void {
    const ring = this.#rings.get(zoneId)
    if (ring === undefined || !ring.push(batch)) return
    for (const listener of this.#sampleListeners) listener(zoneId, ring)
  }
}

function makeRing(zone: ZoneInfo): ZoneRing {
  const rows = Math.ceil(BACKLOG_SECONDS * zone.rateHz * RING_RESERVE)
  return new ZoneRing(zone.columns, Math.max(LEAST_ROWS, rows))
}

function browserSurroundings(): Surroundings {
  return {
    now: () => performance.now(),
    after: (ms, call) => {
      const timer = setTimeout(call, ms)
      return () => clearTimeout(timer)
    },
    openSocket: (protocol) => {
      const scheme = location.protocol === 'https:' ? 'wss' : 'ws'
      return new WebSocket(`${scheme}://${location.host}${STREAM_PATH}`, protocol) as unknown as SocketLike
    },
  }
}

let instance: StreamStore | null = null

/** The page's one stream; opened on first use, in the browser only. */
export function stream(): StreamStore {
  if (instance === null) {
    const made = new StreamStore(browserSurroundings())
    instance = made
    let isOpen = false
    const follow = () => {
      if (isLetIn(sessionNow()) === isOpen) return
      isOpen = !isOpen
      if (isOpen) made.start()
      else made.stop()
    }
    onSession(follow)
    follow()
    const wake = () => {
      if (isOpen && document.visibilityState === 'visible') made.wake()
    }
    document.addEventListener('visibilitychange', wake)
    addEventListener('online', wake)
  }
  return instance
}

// --- for React ---------------------------------------------------------------

const subscribe = (listener: () => void) => stream().onChange(listener)
const nothing = () => null
const NOT_YET: Link = { phase: 'connecting', sinceMs: 0 }

/** State of the connection. While the page is being built: connecting. */
export function useLink(): Link {
  return useSyncExternalStore(
    subscribe,
    () => stream().link,
    () => NOT_YET,
  )
}

/** The gateway's newest hello; null before the first. */
export function useHello(): HelloMessage | null {
  return useSyncExternalStore(subscribe, () => stream().hello, nothing)
}

/** Newest statistics of a zone as told, of whatever age; see `useFreshZone` for what may be shown as a number. */
export function useZoneNow(zoneId: string): ZoneNow | null {
  return useSyncExternalStore(subscribe, () => stream().zoneNow(zoneId), nothing)
}

export function useHealth(): Health | null {
  return useSyncExternalStore(subscribe, () => stream().health, nothing)
}

export function useAlarms(): AlarmList | null {
  return useSyncExternalStore(subscribe, () => stream().alarms, nothing)
}

/** Gateway time of the newest statistics, epoch ms; null before the first. */
export function usePicture(): number | null {
  return useSyncExternalStore(subscribe, () => stream().pictureMs, nothing)
}

/** Epoch ms of the newest usable sample of a side; null when this page knows of none. */
export function useLastGood(zoneId: string, side: Side): number | null {
  return useSyncExternalStore(subscribe, () => stream().lastGoodMs(zoneId, side), nothing)
}

/** Samples of a zone, for drawing outside React; null before the hello, or for no such zone. */
export function ringOf(zoneId: string): ZoneRing | null {
  return stream().ringOf(zoneId)
}

/** What was expected of a zone so far, for drawing outside React; null before its first picture. */
export function expectedOf(zoneId: string): ExpectedHistory | null {
  return stream().expectedOf(zoneId)
}

/** Called after every batch, up to the poll rate: mark as dirty and draw in the next frame. Returns the undo. */
export function onSamples(listener: SamplesListener): () => void {
  return stream().onSamples(listener)
}
