import { type ChildProcess, fork } from 'node:child_process'
import { fileURLToPath } from 'node:url'
import { monotonicMs } from '../../shared/brand.ts'
import { EvenpullError } from '../../shared/errors.ts'
import type { RawReading } from '../../shared/sample.ts'
import type { DeviceHealth } from '../../shared/schemas/health.ts'
import type { RegisterViewQuery } from '../../shared/schemas/register-view.ts'
import { type Clock, readMonotonic, systemClock } from '../clock.ts'
import type { RegisterRead } from './device-runner.ts'
import { changedDevices } from './device-set.ts'
import type { FromPolling, ToPolling } from './polling-messages.ts'
import { SilenceWatch } from './silence-watch.ts'
import type { DevicePlan, Polling, PollingEvents } from './types.ts'
import { fromWire } from './wire-error.ts'

const ENTRY = fileURLToPath(new URL('./polling-process.mjs', import.meta.url))
/** A process whose lines have not closed by then is ended. */
const STOP_WITHIN_MS = 3000
/** Most registers one read for a person may ask for. */
const MOST_REGISTERS = 60
/** A process that dies is started again after this pause, at most so often in a row of ten minutes. */
const RESTART_AFTER_MS = 500
const MOST_RESTARTS = 5
const RESTARTS_COUNT_FOR_MS = 600_000
/** How often its silence is looked at. */
const WATCH_EVERY_MS = 250

/**
 * Starts the polling process, with nothing to poll until `apply`.
 *
 * A process that dies (a driver's crash) is started again with the same plans: until it answers,
 * every device is lost. One that says nothing for 3 s, though it owes a word each second, hangs: every device is lost
 * from then on, and after 10 s it is ended and started again. `clock` anchors the wall time of device health and register reads; hand in
 * the gateway's own, so that everything is dated alike. `failed` is called at most once, when the
 * process dies again and again, and never after `stop`.
 */
export function startPolling(events: PollingEvents, clock: Clock = systemClock()): Polling {
  return new ProcessPolling(events, clock)
}

interface PendingRead {
  resolve(read: RegisterRead): void
  reject(error: Error): void
}

class ProcessPolling implements Polling {
  readonly #events: PollingEvents
  readonly #clock: Clock
  readonly #reads = new Map<number, PendingRead>()
  /** The generation in which a device last changed: older readings of it were made by another plan. */
  readonly #changedIn = new Map<string, number>()
  readonly #restarts: number[] = []
  readonly #watch = new SilenceWatch()
  readonly #watching: NodeJS.Timeout
  #process: ChildProcess
  /** What waits for the process to listen; null once it does. */
  #unsent: ToPolling[] | null = []
  #plans: readonly DevicePlan[] = []
  #generation = 0
  #lastRead = 0
  #devices: readonly DeviceHealth[] = []
  #over: EvenpullError | null = null

  constructor(events: PollingEvents, clock: Clock) {
    this.#events = events
    this.#clock = clock
    this.#process = this.#start()
    this.#watching = setInterval(() => this.#lookAfter(), WATCH_EVERY_MS)
  }

  apply(plans: readonly DevicePlan[]): void {
    this.#generation++
    for (const id of changedDevices(this.#plans, plans)) this.#changedIn.set(id, this.#generation)
    this.#plans = plans
    this.#send({ type: 'apply', generation: this.#generation, plans })
  }

  readRegisters(query: RegisterViewQuery): Promise<RegisterRead> {
    if (this.#over !== null) return Promise.reject(this.#over)
    if (!(query.count >= 1 && query.count <= MOST_REGISTERS))
      return Promise.reject(
        new EvenpullError('EVP_REQUEST_INVALID', `${query.count} registers: expected 1 to ${MOST_REGISTERS}`),
      )
    return new Promise((resolve, reject) => {
      const id = ++this.#lastRead
      this.#reads.set(id, { resolve, reject })
      this.#send({ type: 'read', id, query })
    })
  }

  async stop(): Promise<void> {
    this.#end(new EvenpullError('EVP_DEVICE_CLOSED', 'polling was stopped'))
    const child = this.#process
    if (child.exitCode !== null || child.signalCode !== null) return
    const exited = new Promise((resolve) => child.once('exit', resolve))
    this.#send({ type: 'stop' })
    const late = setTimeout(() => child.kill('SIGKILL'), STOP_WITHIN_MS)
    await exited
    clearTimeout(late)
  }

  #start(): ChildProcess {
    this.#watch.started(readMonotonic())
    const epochOffsetMs = this.#clock.toEpoch(monotonicMs(0))
    const child = fork(ENTRY, [String(epochOffsetMs)], {
      // Not the parent's flags: its loader does not serve here, and its inspector port is taken.
      execArgv: [],
      // Structured clone: JSON would turn a NaN of a device into "no number".
      serialization: 'advanced',
    })
    child.on('message', (message) => this.#receive(message as FromPolling))
    child.once('error', (error) => this.#died(child, error.message))
    child.once('exit', (code, signal) => this.#died(child, signal === null ? `exit code ${code}` : `signal ${signal}`))
    return child
  }

  #receive(message: FromPolling): void {
    this.#watch.heard(readMonotonic())
    switch (message.type) {
      case 'ready':
        this.#flushUnsent()
        return
      case 'readings':
        this.#events.readings(message.batch.filter((reading) => this.#isCurrent(reading, message.generation)))
        this.#send({ type: 'taken', readings: message.batch.length })
        return
      case 'health':
        this.#devices = message.devices
        this.#events.health(message.devices)
        return
      case 'read-done':
        this.#take(message.id)?.resolve(message.read)
        return
      case 'read-failed':
        this.#take(message.id)?.reject(fromWire(message.error))
    }
  }

  /** A process that lives but says nothing reads nothing, or nobody would know. */
  #lookAfter(): void {
    switch (this.#watch.look(readMonotonic())) {
      case 'silent':
        this.#reportLost(new EvenpullError('EVP_INTERNAL', 'the polling process does not report'))
        return
      case 'hung':
        this.#process.kill('SIGKILL')
    }
  }

  /** A request index means something only in the plan it was counted in. */
  #isCurrent(reading: RawReading, generation: number): boolean {
    return generation >= (this.#changedIn.get(reading.deviceId) ?? 0)
  }

  #take(id: number): PendingRead | undefined {
    const read = this.#reads.get(id)
    this.#reads.delete(id)
    return read
  }

  #died(child: ChildProcess, how: string): void {
    child.removeAllListeners() // `error` and `exit` may both come; one death counts once
    if (this.#over !== null) return
    const error = new EvenpullError('EVP_INTERNAL', `the polling process ended with ${how}`)
    this.#rejectReads(error)
    const now = this.#clock.now()
    while (this.#restarts[0] !== undefined && now - this.#restarts[0] > RESTARTS_COUNT_FOR_MS) this.#restarts.shift()
    if (this.#restarts.length >= MOST_RESTARTS) {
      this.#end(error)
      this.#events.failed(error)
      return
    }
    this.#restarts.push(now)
    this.#reportLost(error)
    setTimeout(() => this.#restart(), RESTART_AFTER_MS)
  }

  #restart(): void {
    if (this.#over !== null) return
    this.#unsent = []
    this.#process = this.#start()
    this.#send({ type: 'apply', generation: this.#generation, plans: this.#plans })
  }

  /** Nobody polls: no device may go on looking alive. */
  #reportLost(error: EvenpullError): void {
    const lastError = { code: error.code, message: error.message, timeMs: this.#clock.toEpoch(this.#clock.now()) }
    this.#devices = this.#devices.map((device) => ({ ...device, state: 'lost', lastError }))
    this.#events.health(this.#devices)
  }

  /** Nothing more will come: whoever waits for a read is told. */
  #end(reason: EvenpullError): void {
    this.#over ??= reason
    clearInterval(this.#watching)
    this.#rejectReads(reason)
  }

  #rejectReads(reason: EvenpullError): void {
    for (const { reject } of this.#reads.values()) reject(reason)
    this.#reads.clear()
  }

  #send(message: ToPolling): void {
    if (this.#unsent !== null) this.#unsent.push(message)
    // A process that is ending takes no message; its exit is told by its own event.
    else if (this.#process.connected) this.#process.send(message, () => {})
  }

  #flushUnsent(): void {
    const waiting = this.#unsent ?? []
    this.#unsent = null
    for (const message of waiting) this.#send(message)
  }
}
