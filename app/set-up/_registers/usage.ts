import type { RegisterOrder, RegisterType } from '../../../shared/schemas/config.ts'
import type { ChannelHealth, DeviceHealth } from '../../../shared/schemas/health.ts'

/** What the config makes of one register. */
export interface RegisterUse {
  readonly channel: string
  /** 0 for the first register of the value, 1 for the second. */
  readonly word: number
  readonly type: RegisterType
  readonly order: RegisterOrder
}

export interface RegisterPlace {
  readonly device: string
  readonly unitId: number
  readonly function: number
}

/** Which channels hold each register of a unit, by 0-based address. */
export function usesOf(channels: readonly ChannelHealth[], place: RegisterPlace): ReadonlyMap<number, RegisterUse[]> {
  const uses = new Map<number, RegisterUse[]>()
  for (const { device, name, register } of channels) {
    if (register == null || device !== place.device) continue
    if (register.unitId !== place.unitId || register.function !== place.function) continue
    for (let word = 0; word < register.words; word++) {
      const address = register.address + word
      const use = { channel: name, word, type: register.type, order: register.order }
      uses.set(address, [...(uses.get(address) ?? []), use])
    }
  }
  return uses
}

/** True when the plan of requests already reads the register, whether or not a channel needs it. */
export function isPolled(device: DeviceHealth, place: RegisterPlace, address: number): boolean {
  return device.plan.some(
    (request) =>
      request.unitId === place.unitId &&
      request.function === place.function &&
      request.address !== null &&
      address >= request.address &&
      address < request.address + request.count,
  )
}
