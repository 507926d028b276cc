import { resolve } from 'node:path'
import type { DevicePlan } from './types.ts'

/** The plans with every recording's path made absolute: in a config it is relative to the folder of the config file. */
export function resolveRecordings(plans: readonly DevicePlan[], folder: string): DevicePlan[] {
  return plans.map((plan) =>
    plan.device.transport === 'replay'
      ? { ...plan, device: { ...plan.device, file: resolve(folder, plan.device.file) } }
      : plan,
  )
}
