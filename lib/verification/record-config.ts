import type { VerificationContext } from './context.ts'

/** The zone with its channels and devices as the config has them; without what other parts of it hold. */
export function recordConfig({ zone, channels, config }: VerificationContext): unknown {
  const ids = [
    ...Object.values(zone.cells),
    zone.speed,
    zone.roller_speed,
    zone.reference,
    zone.temperature,
    zone.neighbour,
  ]
  const used = [...new Set(ids)].flatMap((id) => channels.get(id ?? '') ?? [])
  const devices = config.devices.filter(({ id }) => used.some(({ device }) => device === id))
  return JSON.parse(JSON.stringify({ zone, channels: used, devices }))
}
