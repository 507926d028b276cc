import { monotonicMs } from '../../shared/brand.ts'
import { EvenpullError } from '../../shared/errors.ts'
import type { DeviceHealth } from '../../shared/schemas/health.ts'
import type { PlayedLine } from '../transports/line.ts'
import { DeviceRecord } from './device-record.ts'
import type { DeviceRunner, RegisterRead, RunnerContext } from './device-runner.ts'
import type { DeviceState } from './device-state.ts'
import { asEvenpullError, gapCode } from './failures.ts'
import { ReplayTimeline } from './replay-timeline.ts'
import { Sleeper } from './sleeper.ts'
import type { DevicePlan, PlannedRequest } from './types.ts'

/**
 * Plays a recording through the pipeline as if it were happening: each row at its time (at `max`,
 * as soon as there is room), as one answer to request 0. No row is ever skipped: where the reader
 * is slow, the file waits. When the recording ends or fails, one gap says so, and nothing follows.
 */
export class ReplayPlayer implements DeviceRunner {
  readonly #plan: DevicePlan
  readonly #line: PlayedLine
  readonly #context: RunnerContext
  readonly #record: DeviceRecord
  readonly #timeline: ReplayTimeline
  readonly #sleeper = new Sleeper()
  readonly #ended: Promise<void>
  #state: DeviceState = 'starting'
  #stopping = false

  /** Starts at once. */
  constructor(plan: DevicePlan, line: PlayedLine, context: RunnerContext) {
    this.#plan = plan
    this.#line = line
    this.#context = context
    this.#record = new DeviceRecord(plan.device, context.clock)
    this.#timeline = new ReplayTimeline(this.#record.startMs, line.speed, 1000 / plan.device.rate_hz)
    const [request] = plan.requests
    this.#ended = request === undefined ? Promise.resolve() : this.#run(request)
  }

  state(): DeviceState {
    return this.#state
  }

  health(): DeviceHealth {
    return this.#record.health({
      state: this.#state,
      where: this.#line.where(),
      counters: { violations: 0, lateAnswers: 0, reconnects: 0 },
      requests: this.#plan.requests,
    })
  }

  readRegisters(): Promise<RegisterRead> {
    return Promise.reject(
      new EvenpullError('EVP_REQUEST_INVALID', `device ${this.#plan.device.id} is a recording: it has no registers`),
    )
  }

  async stop(): Promise<void> {
    this.#stopping = true
    this.#sleeper.wake()
    await this.#ended
  }

  async #run(request: PlannedRequest): Promise<void> {
    try {
      do {
        await this.#playOnce(request)
        this.#timeline.again()
      } while (this.#line.repeat && !this.#stopping)
      this.#end('ended', new EvenpullError('EVP_REPLAY_ENDED', `${this.#line.where()} has been played to its end`))
    } catch (error) {
      this.#end('lost', asEvenpullError(error))
    }
  }

  async #playOnce(request: PlannedRequest): Promise<void> {
    for await (const { seconds, values } of this.#line.recording.rows(request)) {
      const tMs = this.#timeline.place(seconds)
      if (this.#line.speed !== 'max') await this.#waitUntil(this.#timeline.dueMs(tMs))
      await this.#context.room()
      if (this.#stopping) return
      this.#record.played(tMs)
      this.#context.emit({
        kind: 'answer',
        deviceId: this.#plan.device.id,
        request: 0,
        tMs: monotonicMs(tMs),
        halfWidthMs: 0,
        words: values,
      })
      this.#become('answering')
    }
  }

  async #waitUntil(dueMs: number): Promise<void> {
    const { clock } = this.#context
    for (let left = dueMs - clock.now(); left > 0 && !this.#stopping; left = dueMs - clock.now())
      await this.#sleeper.sleep(left)
    if (!this.#stopping) this.#record.lateness(clock.now() - dueMs)
  }

  #end(state: 'ended' | 'lost', error: EvenpullError): void {
    if (this.#stopping) return
    this.#record.note(error)
    this.#context.emit({
      kind: 'gap',
      deviceId: this.#plan.device.id,
      request: 0,
      tMs: monotonicMs(this.#timeline.nextMs),
      halfWidthMs: 0,
      code: gapCode(error),
      errorCode: error.code,
      detail: error.message,
    })
    this.#become(state)
  }

  #become(state: DeviceState): void {
    if (state === this.#state) return
    this.#state = state
    this.#context.changed()
  }
}
