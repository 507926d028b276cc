import { soundFit } from '../physics/fit.ts'
import type { ZoneParameters } from '../physics/zone.ts'
import type { ParameterValue } from './change.ts'

/** Writes out what may be left out, so that every parameter a fault changes is there; nothing else changes by it. */
export function writeOut(zone: ZoneParameters): void {
  zone.fit ??= soundFit()
  zone.cables ??= { drive_side: 'drive_side', operator_side: 'operator_side' }
  zone.drive.holds ??= 1
  zone.roller.viscousDrag ??= 0
}

/** A parameter by its path. Holders are looked up anew each time, because a repair may put new ones in. */
export function readParameter(zone: ZoneParameters, path: string): ParameterValue {
  const { holder, name } = find(zone, path)
  return holder[name] as ParameterValue
}

export function writeParameter(zone: ZoneParameters, path: string, value: ParameterValue): void {
  const { holder, name } = find(zone, path)
  holder[name] = value
}

function find(zone: ZoneParameters, path: string) {
  const names = path.split('.')
  const name = names.pop() ?? ''
  let holder = zone as unknown as Record<string, unknown>
  for (const step of names) holder = holder[step] as Record<string, unknown>
  if (!Object.hasOwn(holder, name)) throw new RangeError(`there is no parameter ${path}`)
  return { holder, name }
}
