import { epochMs } from '../../shared/brand.ts'
import { type Clock, readMonotonic } from '../clock.ts'
import { openLine } from '../transports/registry.ts'
import { DeviceSet } from './device-set.ts'
import { Outbox } from './outbox.ts'
import type { FromPolling, ToPolling } from './polling-messages.ts'
import { toWire } from './wire-error.ts'

/**
 * The polling process: every device on its own line, none waiting for another, and none waiting for
 * the page, the disk or the statistics of the gateway. Started by polling.ts through
 * polling-process.mjs; ends after `stop`, or when the gateway is gone.
 *
 * A process of its own and not a thread, because the serial driver's native part always calls back
 * into the process's first thread: read from any other, it ends the whole process.
 */
const HEALTH_EVERY_MS = 1000
/** A device can fall silent without anything happening: states are looked at this often. */
const STATES_EVERY_MS = 100
/** Lines have this long to close when the gateway is gone. */
const STOP_WITHIN_MS = 2000

const post = (message: FromPolling) => {
  if (process.connected) process.send?.(message)
}

/** The gateway's anchor, epoch ms minus monotonic ms, so that both processes date alike. */
const epochOffsetMs = Number(process.argv[2])
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

process.on('message', (message: ToPolling) => {
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
  if (process.connected) process.disconnect()
}

// Ctrl-C reaches the whole group; the gateway decides when this process stops.
process.on('SIGINT', () => {})
// Without a gateway nobody reads the answers: leave the devices alone. A line that does not close ends with the process.
process.removeAllListeners('disconnect') // of polling-process.mjs: it ended the process while this was loading
process.once('disconnect', () => {
  setTimeout(() => process.exit(0), STOP_WITHIN_MS).unref()
  void stop().finally(() => process.exit(0))
})
post({ type: 'ready' })
