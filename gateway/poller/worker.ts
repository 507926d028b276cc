import { parentPort, workerData } from 'node:worker_threads'
import { epochMs } from '../../shared/brand.ts'
import { type Clock, readMonotonic } from '../clock.ts'
import { openLine } from '../transports/registry.ts'
import { DeviceSet } from './device-set.ts'
import { Outbox } from './outbox.ts'
import { toWire } from './wire-error.ts'
import type { FromWorker, ToWorker, WorkerStart } from './worker-messages.ts'

/**
 * The polling thread: every device on its own line, none waiting for another, and none waiting
 * for the page, the disk or the statistics of the main thread. Started by polling.ts through
 * worker.mjs; ends by itself after `stop`.
 */
const HEALTH_EVERY_MS = 1000
/** A device can fall silent without anything happening: states are looked at this often. */
const STATES_EVERY_MS = 100

const port = parentPort
if (port === null) throw new Error('worker.ts runs in a worker thread')
const post = (message: FromWorker) => port.postMessage(message)

const { epochOffsetMs } = workerData as WorkerStart
const clock: Clock = { now: readMonotonic, toEpoch: (t) => epochMs(t + epochOffsetMs) }

let generation = 0
const outbox = new Outbox((batch) => post({ type: 'readings', generation, batch }))
const devices = new DeviceSet(openLine, {
  clock,
  emit: (reading) => outbox.push(reading),
  room: () => outbox.room(),
  changed: reportHealth,
})

let reported = ''
function reportHealth(): void {
  // First the readings that the health speaks of: who hears "ended" has had every row.
  outbox.flush()
  reported = devices.states().join()
  post({ type: 'health', devices: devices.health() })
}
function reportChangedStates(): void {
  if (devices.states().join() !== reported) reportHealth()
}
const timers = [setInterval(reportHealth, HEALTH_EVERY_MS), setInterval(reportChangedStates, STATES_EVERY_MS)]

port.on('message', (message: ToWorker) => {
  switch (message.type) {
    case 'apply': {
      const applied = devices.apply(message.plans)
      // What is out there was read by the old plans; from here on nothing is.
      outbox.flush()
      generation = message.generation
      outbox.release()
      void applied
      return
    }
    case 'read':
      devices.readRegisters(message.query).then(
        (read) => post({ type: 'read-done', id: message.id, read }),
        (error: unknown) => post({ type: 'read-failed', id: message.id, error: toWire(error) }),
      )
      return
    case 'taken':
      outbox.acknowledge(message.readings)
      return
    case 'stop':
      void stop()
  }
})

async function stop(): Promise<void> {
  const stopped = devices.stop()
  outbox.release()
  for (const timer of timers) clearInterval(timer)
  await stopped
  outbox.flush()
  port?.close()
}
