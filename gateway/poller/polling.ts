import { Worker } from 'node:worker_threads'
import { monotonicMs } from '../../shared/brand.ts'
import { EvenpullError } from '../../shared/errors.ts'
import type { RawReading } from '../../shared/sample.ts'
import type { RegisterViewQuery } from '../../shared/schemas/register-view.ts'
import { type Clock, systemClock } from '../clock.ts'
import type { RegisterRead } from './device-runner.ts'
import { changedDevices } from './device-set.ts'
import type { DevicePlan, Polling, PollingEvents } from './types.ts'
import { fromWire } from './wire-error.ts'
import type { FromWorker, ToWorker, WorkerStart } from './worker-messages.ts'

/** A line that has not closed by then is left to the end of the thread. */
const STOP_WITHIN_MS = 3000
/** Most registers one read for a person may ask for. */
const MOST_REGISTERS = 60

/**
 * Starts the polling thread, with nothing to poll until `apply`.
 *
 * `clock` anchors the wall time of device health and register reads; hand in the process's own, so
 * that everything is dated alike. `failed` is called at most once, and never after `stop`.
 */
export function startPolling(events: PollingEvents, clock: Clock = systemClock()): Polling {
  return new WorkerPolling(events, clock)
}

interface PendingRead {
  resolve(read: RegisterRead): void
  reject(error: Error): void
}

class WorkerPolling implements Polling {
  readonly #events: PollingEvents
  readonly #worker: Worker
  readonly #exited: Promise<void>
  readonly #reads = new Map<number, PendingRead>()
  /** The generation in which a device last changed: older readings of it were made by another plan. */
  readonly #changedIn = new Map<string, number>()
  #plans: readonly DevicePlan[] = []
  #generation = 0
  #lastRead = 0
  #over: EvenpullError | null = null

  constructor(events: PollingEvents, clock: Clock) {
    this.#events = events
    const zero = monotonicMs(0)
    this.#worker = new Worker(new URL('./worker.mjs', import.meta.url), {
      name: 'polling',
      // Not the parent's flags: its loader does not work here, and its inspector port is taken.
      execArgv: [],
      workerData: { epochOffsetMs: clock.toEpoch(zero) } satisfies WorkerStart,
    })
    this.#worker.on('message', (message: FromWorker) => this.#receive(message))
    this.#worker.on('error', (error) => this.#fail(error))
    this.#exited = new Promise((resolve) => {
      this.#worker.once('exit', (code) => {
        this.#fail(new EvenpullError('EVP_INTERNAL', `the polling thread ended with code ${code}`))
        resolve()
      })
    })
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
    this.#send({ type: 'stop' })
    const late = setTimeout(() => void this.#worker.terminate(), STOP_WITHIN_MS)
    await this.#exited
    clearTimeout(late)
  }

  #receive(message: FromWorker): void {
    switch (message.type) {
      case 'readings':
        this.#events.readings(message.batch.filter((reading) => this.#isCurrent(reading, message.generation)))
        this.#send({ type: 'taken', readings: message.batch.length })
        return
      case 'health':
        this.#events.health(message.devices)
        return
      case 'read-done':
        this.#take(message.id)?.resolve(message.read)
        return
      case 'read-failed':
        this.#take(message.id)?.reject(fromWire(message.error))
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

  #fail(error: Error): void {
    if (this.#over !== null) return
    this.#end(new EvenpullError('EVP_INTERNAL', `the polling thread failed: ${error.message}`, { cause: error }))
    this.#events.failed(error)
  }

  /** Nothing more will come: whoever waits for a read is told. */
  #end(reason: EvenpullError): void {
    this.#over ??= reason
    for (const { reject } of this.#reads.values()) reject(reason)
    this.#reads.clear()
  }

  #send(message: ToWorker): void {
    this.#worker.postMessage(message)
  }
}
