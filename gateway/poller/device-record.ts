import { monotonicMs } from '../../shared/brand.ts'
import type { EvenpullError } from '../../shared/errors.ts'
import type { DeviceConfig } from '../../shared/schemas/config.ts'
import type { DeviceHealth } from '../../shared/schemas/health.ts'
import type { Clock } from '../clock.ts'
import type { TransportCounters } from '../transports/transport.ts'
import type { DeviceState } from './device-state.ts'
import { LatencyWindow } from './latency-window.ts'
import { RateWindow } from './rate-window.ts'
import type { PlannedRequest } from './types.ts'

/** What the health of a device is made of: counted here, judged elsewhere. */
export class DeviceRecord {
  readonly startMs: number
  requests = 0
  answers = 0
  timeouts = 0
  exceptions = 0
  missedTicks = 0
  lastAnswerMs: number | null = null
  readonly #device: DeviceConfig
  readonly #clock: Clock
  readonly #rate: RateWindow
  readonly #roundTrip = new LatencyWindow()
  readonly #jitter = new LatencyWindow()
  #lastError: DeviceHealth['lastError'] = null

  constructor(device: DeviceConfig, clock: Clock) {
    this.#device = device
    this.#clock = clock
    this.startMs = clock.now()
    this.#rate = new RateWindow(this.startMs)
  }

  /** A poll in which every request was answered whole. */
  fullPoll(): void {
    this.#rate.add(this.#clock.now())
  }

  /** A row of a recording: counts as a request, its answer and a full poll; it has no round trip. */
  played(tMs: number): void {
    this.requests++
    this.answers++
    this.lastAnswerMs = Math.max(tMs, this.#clock.now())
    this.fullPoll()
  }

  lateness(ms: number): void {
    this.#jitter.add(this.#clock.now(), ms)
  }

  answered(roundTripMs: number): void {
    this.answers++
    this.lastAnswerMs = this.#clock.now()
    this.#roundTrip.add(this.lastAnswerMs, roundTripMs)
  }

  failed(error: EvenpullError): void {
    if (error.code === 'EVP_DEVICE_TIMEOUT') this.timeouts++
    if (error.code === 'EVP_MODBUS_EXCEPTION') this.exceptions++
    this.note(error)
  }

  /** The last error as the Set-up page shows it, without counting a failed request. */
  note(error: EvenpullError): void {
    const { code, place } = error
    const message = place === undefined ? error.message : `${place.file}, line ${place.line}: ${error.message}`
    this.#lastError = { code, message, timeMs: this.#clock.toEpoch(this.#clock.now()) }
  }

  health(view: {
    readonly state: DeviceState
    readonly where: string
    readonly counters: TransportCounters
    /** What is asked now, after any splitting. */
    readonly requests: readonly PlannedRequest[]
  }): DeviceHealth {
    const now = this.#clock.now()
    const lastAnswerMs = this.lastAnswerMs
    return {
      id: this.#device.id,
      name: this.#device.name ?? this.#device.id,
      transport: this.#device.transport,
      where: view.where,
      state: view.state,
      lastAnswerMs: lastAnswerMs === null ? null : this.#clock.toEpoch(monotonicMs(lastAnswerMs)),
      requestedHz: this.#device.rate_hz,
      achievedHz: lastAnswerMs === null ? null : this.#rate.perSecond(now),
      requests: this.requests,
      answers: this.answers,
      timeouts: this.timeouts,
      exceptions: this.exceptions,
      violations: view.counters.violations,
      lateAnswers: view.counters.lateAnswers,
      reconnects: view.counters.reconnects,
      missedTicks: this.missedTicks,
      roundTripMs: this.#roundTrip.summary(now),
      jitterMs: this.#jitter.summary(now),
      lastError: this.#lastError,
      plan: view.requests.map(({ unitId, function: fn, address, count, items }) => ({
        unitId,
        function: fn,
        address,
        count,
        channels: items.map((item) => item.channelId),
      })),
    }
  }
}
