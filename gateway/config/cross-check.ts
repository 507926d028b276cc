import { checkChannelPlaces } from './checks/channel-place.ts'
import { checkScales } from './checks/channel-scale.ts'
import { checkDevices } from './checks/devices.ts'
import { checkForward } from './checks/forward.ts'
import { checkGeometry } from './checks/geometry.ts'
import { checkRepeatedIds } from './checks/ids.ts'
import { checkZoneCells } from './checks/zone-cells.ts'
import { checkZones } from './checks/zones.ts'
import type { Finding } from './finding.ts'
import type { Parts } from './parts.ts'

/** Every rule that needs more than one key of the file. A new rule is a new line here. */
const CHECKS: readonly ((parts: Parts) => Finding[])[] = [
  checkRepeatedIds,
  checkDevices,
  checkChannelPlaces,
  checkScales,
  checkZones,
  checkZoneCells,
  checkGeometry,
  checkForward,
]

/** All that is wrong between the parts of a config. */
export function crossCheck(parts: Parts): Finding[] {
  return CHECKS.flatMap((check) => check(parts))
}
