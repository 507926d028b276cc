import { parseAddress } from '../../../lib/codec/address.ts'
import { WORDS } from '../../../lib/codec/types.ts'
import type { ChannelConfig, ZoneConfig } from '../../../shared/schemas/config.ts'
import { type ConfigPath, type Finding, wrong } from '../finding.ts'
import type { Part, Parts } from '../parts.ts'

/** The two sides of a zone must be two cells, in units that can be set side by side. */
export function checkZoneCells({ zones, channels }: Parts): Finding[] {
  const byId = new Map(channels.map(({ value }) => [value.id, value]))
  return zones.flatMap((zone) => {
    const { cells } = zone.value
    if ('single' in cells) return []
    const at: ConfigPath = [...zone.path, 'cells', 'operator_side']
    const say = (message: string) => [wrong(at, `zone ${zone.value.id}: ${message}`)]
    if (cells.drive_side === cells.operator_side)
      return say(`both sides are channel ${cells.drive_side}; each end of the roller has its own cell`)
    const drive = byId.get(cells.drive_side)
    const operator = byId.get(cells.operator_side)
    if (drive?.measures !== 'force' || operator?.measures !== 'force') return []
    return [...sameSource(drive, operator, say), ...units(zone, drive, operator)]
  })
}

/** A copied channel whose address was not changed: both sides would agree perfectly, for ever. */
function sameSource(a: ChannelConfig, b: ChannelConfig, say: (message: string) => Finding[]): Finding[] {
  if (a.device !== b.device) return []
  const shared = sharedPlace(a, b)
  if (shared === null) return []
  return say(`channels ${a.id} and ${b.id} both read ${shared} of device ${a.device}; give each side its own`)
}

function sharedPlace(a: ChannelConfig, b: ChannelConfig): string | null {
  if (a.column !== undefined && a.column === b.column) return `column ${a.column}`
  if (a.iio_channel !== undefined && a.iio_channel === b.iio_channel) return a.iio_channel
  const [first, second] = [span(a), span(b)]
  if (first === null || second === null || first.space !== second.space) return null
  const offset = Math.max(first.offset, second.offset)
  return offset < Math.min(first.end, second.end) ? `register offset ${offset}` : null
}

/** Registers a channel takes, `offset` to `end` − 1; null when it has none or they cannot be read. */
function span({ register }: ChannelConfig): { space: string; offset: number; end: number } | null {
  if (register === undefined) return null
  try {
    const { offset } = parseAddress(register.address)
    return { space: `${register.unit_id}/${register.function}`, offset, end: offset + WORDS[register.type] }
  } catch {
    return null // said by the rules of the channel itself
  }
}

function units({ value: zone, path }: Part<ZoneConfig>, drive: ChannelConfig, operator: ChannelConfig): Finding[] {
  const say = (what: string, a: string, b: string) =>
    wrong(
      [...path, 'cells'],
      `zone ${zone.id}: the two sides have different ${what}: ${drive.id} is in ${a}, ${operator.id} in ${b}`,
    )
  const findings: Finding[] = []
  const [forceA, forceB] = [drive.force?.unit, operator.force?.unit]
  if (forceA !== undefined && forceB !== undefined && forceA !== forceB)
    findings.push(say('force units', forceA, forceB))
  const [electricalA, electricalB] = [drive.electrical?.unit ?? 'raw units', operator.electrical?.unit ?? 'raw units']
  if (drive.device === operator.device && electricalA !== electricalB)
    findings.push(say('electrical units on one device', electricalA, electricalB))
  return findings
}
