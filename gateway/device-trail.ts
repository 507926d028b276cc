import type { NewEvent } from '../shared/schemas/events.ts'
import type { DeviceHealth } from '../shared/schemas/health.ts'

/** What the trail says of devices: when one was lost, and when it was back. */
export class DeviceTrail {
  readonly #lost = new Set<string>()

  /** Events for what changed since the last look. */
  look(devices: readonly DeviceHealth[], nowMs: number): NewEvent[] {
    return devices.flatMap((device) => {
      const { id, state } = device
      const wasLost = this.#lost.has(id)
      if (state === 'lost' && !wasLost) {
        this.#lost.add(id)
        return [eventOf(device, nowMs, `${device.name} does not answer${whyOf(device)}.`)]
      }
      if (wasLost && (state === 'answering' || state === 'partly' || state === 'ended')) {
        this.#lost.delete(id)
        return [eventOf(device, nowMs, `${device.name} answers again.`)]
      }
      return []
    })
  }
}

const whyOf = ({ lastError }: DeviceHealth) => (lastError === null ? '' : `: ${lastError.message}`)

function eventOf({ id, state, lastError }: DeviceHealth, timeMs: number, text: string): NewEvent {
  return {
    timeMs,
    kind: 'device',
    zone: null,
    who: null,
    text,
    data: { device: id, state, code: lastError?.code ?? null },
  }
}
