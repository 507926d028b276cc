import { systemClock } from '../../gateway/clock.ts'
import type { RunnerContext } from '../../gateway/poller/device-runner.ts'
import type { PlannedRequest } from '../../gateway/poller/types.ts'
import type { PolledLine } from '../../gateway/transports/line.ts'
import type { TransportAnswer } from '../../gateway/transports/transport.ts'
import type { RawReading } from '../../shared/sample.ts'

/** A line whose answers the test writes: the fake sits at the transport. */
export function fakeLine(read: (request: PlannedRequest) => Promise<Partial<TransportAnswer>>): PolledLine {
  const { now } = systemClock()
  return {
    kind: 'polled',
    where: () => 'a fake line',
    transport: {
      counters: { violations: 0, lateAnswers: 0, reconnects: 0 },
      async read(request) {
        return { tMs: now(), halfWidthMs: 0.5, words: [], ...(await read(request)) }
      },
      async close() {},
    },
  }
}

export interface FakeContext extends RunnerContext {
  readonly readings: RawReading[]
}

export function fakeContext(): FakeContext {
  const readings: RawReading[] = []
  return {
    readings,
    clock: systemClock(),
    emit: (reading) => readings.push(reading),
    room: () => Promise.resolve(),
    changed: () => {},
  }
}

/** Waits until `ready` holds; fails with `what` after 15 s. */
export async function until(what: string, ready: () => boolean): Promise<void> {
  const deadline = performance.now() + 15_000
  while (!ready()) {
    if (performance.now() > deadline) throw new Error(`waited 15 s in vain: ${what}`)
    await new Promise((resolve) => setTimeout(resolve, 2))
  }
}
