import { EvenpullError } from '../../shared/errors.ts'
import type { DeviceHealth } from '../../shared/schemas/health.ts'
import type { RegisterViewQuery } from '../../shared/schemas/register-view.ts'
import type { PolledLine } from '../transports/line.ts'
import type { TransportAnswer } from '../transports/transport.ts'
import { DeviceRecord } from './device-record.ts'
import type { DeviceRunner, RegisterRead, RunnerContext } from './device-runner.ts'
import { type DeviceState, polledState, silenceLimitMs } from './device-state.ts'
import { asEvenpullError } from './failures.ts'
import { ReadQueue } from './read-queue.ts'
import { type Asked, RequestReader } from './request-reader.ts'
import { SilenceGate } from './silence-gate.ts'
import { Sleeper } from './sleeper.ts'
import { nextStep, startTicks } from './ticks.ts'
import type { DevicePlan, PlannedRequest } from './types.ts'

interface Polled {
  readonly reader: RequestReader
  readonly gate: SilenceGate
  wholeMs: number | null
  lastError: EvenpullError | null
}

/**
 * One polled device on one physical line. Each tick reads the planned requests in order, one in
 * flight at a time; each answer or failure becomes one reading. Between polls the line serves
 * single reads for the register viewer.
 */
export class DevicePoller implements DeviceRunner {
  readonly #plan: DevicePlan
  readonly #line: PolledLine
  readonly #context: RunnerContext
  readonly #record: DeviceRecord
  readonly #polled: readonly Polled[]
  readonly #sleeper = new Sleeper()
  readonly #reads = new ReadQueue()
  readonly #ended: Promise<void>
  #stopping = false
  #reported: DeviceState = 'starting'

  /** Starts at once. */
  constructor(plan: DevicePlan, line: PolledLine, context: RunnerContext) {
    this.#plan = plan
    this.#line = line
    this.#context = context
    this.#record = new DeviceRecord(plan.device, context.clock)
    this.#polled = plan.requests.map((request, index) => ({
      reader: new RequestReader(plan, index, request),
      gate: new SilenceGate(),
      wholeMs: null,
      lastError: null,
    }))
    this.#ended = this.#run()
  }

  state(): DeviceState {
    const times = {
      startMs: this.#record.startMs,
      anyMs: this.#record.lastAnswerMs,
      wholeMs: this.#polled.map((polled) => polled.wholeMs),
    }
    return polledState(times, this.#context.clock.now(), silenceLimitMs(1000 / this.#plan.device.rate_hz))
  }

  health(): DeviceHealth {
    return this.#record.health({
      state: this.state(),
      where: this.#line.where(),
      counters: this.#line.transport.counters,
      requests: this.#polled.flatMap(({ reader }) => reader.requests),
    })
  }

  readRegisters(query: RegisterViewQuery): Promise<RegisterRead> {
    if (this.#plan.device.transport === 'iio')
      return Promise.reject(
        new EvenpullError(
          'EVP_REQUEST_INVALID',
          `device ${this.#plan.device.id} is an IIO device: it has no registers`,
        ),
      )
    if (this.#stopping) return Promise.reject(this.#closing())
    const read = this.#reads.add(() => this.#readOnce(query))
    this.#sleeper.wake()
    return read
  }

  async stop(): Promise<void> {
    this.#stopping = true
    this.#sleeper.wake()
    this.#reads.refuse(this.#closing())
    await this.#line.transport.close()
    await this.#ended
  }

  async #run(): Promise<void> {
    let ticks = startTicks(this.#context.clock.now(), 1000 / this.#plan.device.rate_hz)
    while (!this.#stopping) {
      const step = nextStep(ticks, this.#context.clock.now())
      if (step.kind === 'run') {
        ticks = step.ticks
        this.#record.missedTicks += step.skipped
        this.#record.lateness(this.#context.clock.now() - step.dueMs)
        await this.#poll()
      } else if (this.#reads.empty) {
        await this.#sleeper.sleep(step.forMs)
      }
      await this.#reads.serveOne()
    }
  }

  async #poll(): Promise<void> {
    let whole = this.#polled.length > 0
    for (const polled of this.#polled) {
      const answered = await this.#pollOne(polled)
      if (this.#stopping) return
      whole &&= answered
    }
    if (whole) this.#record.fullPoll()
    this.#reportState()
  }

  /** Reads one request and hands its reading on; true when everything in it came. */
  async #pollOne(polled: Polled): Promise<boolean> {
    const { clock } = this.#context
    const { lastError } = polled
    if (lastError !== null && this.#polled.length > 1 && !polled.gate.mayAsk(clock.now())) {
      this.#context.emit(polled.reader.gap(lastError, clock.now(), clock.now()))
      return false
    }
    const askedMs = clock.now()
    const { reading, whole, errors } = await polled.reader.read((request) => this.#ask(request))
    if (this.#stopping) return false
    polled.gate.asked(askedMs, reading.kind === 'gap' && reading.errorCode === 'EVP_DEVICE_TIMEOUT')
    polled.lastError = errors.at(-1) ?? null
    if (polled.lastError !== null) this.#record.note(polled.lastError)
    if (whole) polled.wholeMs = clock.now()
    this.#context.emit(reading)
    return whole
  }

  /** One request over the line, counted. An answer of the wrong length is no answer. */
  async #ask(request: PlannedRequest): Promise<Asked> {
    const { clock } = this.#context
    const startMs = clock.now()
    this.#record.requests++
    try {
      const answer = await this.#readWhole(request)
      this.#record.answered(2 * answer.halfWidthMs)
      return { ok: true, answer }
    } catch (thrown) {
      const error = asEvenpullError(thrown)
      this.#record.failed(error)
      return { ok: false, error, startMs, endMs: clock.now() }
    }
  }

  /** One read for a person. Whoever asked sees how it ended; it says nothing about the polling, and is not counted there. */
  async #readOnce(query: RegisterViewQuery): Promise<RegisterRead> {
    const { unit_id: unitId, function: fn, address, count } = query
    if (fn !== 3 && fn !== 4) throw new EvenpullError('EVP_FUNCTION_REFUSED', `function ${fn}: expected 3 or 4`)
    const { words, tMs, halfWidthMs } = await this.#readWhole({ unitId, function: fn, address, count, items: [] })
    return {
      words: words.filter((word) => word !== null),
      timeMs: this.#context.clock.toEpoch(tMs),
      roundTripMs: 2 * halfWidthMs,
    }
  }

  async #readWhole(request: PlannedRequest): Promise<TransportAnswer> {
    const answer = await this.#line.transport.read(request)
    if (answer.words.length !== request.count)
      throw new EvenpullError(
        'EVP_FRAME_INVALID',
        `${answer.words.length} words came where ${request.count} were asked`,
      )
    return answer
  }

  #closing(): EvenpullError {
    return new EvenpullError('EVP_DEVICE_CLOSED', `device ${this.#plan.device.id} is being closed`)
  }

  #reportState(): void {
    const state = this.state()
    if (state === this.#reported) return
    this.#reported = state
    this.#context.changed()
  }
}
