import { QUANTITY_OF } from '../../../lib/scale/value.ts'
import type { ChannelConfig } from '../../../shared/schemas/config.ts'
import { UNITS } from '../../../shared/units.ts'
import { type ConfigPath, type Finding, wrong, wrongKey } from '../finding.ts'
import type { Part, Parts } from '../parts.ts'
import { list } from '../words.ts'

/** Scale, unit, signal and ranges of every channel. */
export function checkScales({ channels, devices }: Parts): Finding[] {
  const rates = new Map(devices.map(({ value }) => [value.id, value.rate_hz]))
  return channels.flatMap((channel) => [
    ...scaleKind(channel),
    ...flatLines(channel),
    ...signalRule(channel),
    ...ranges(channel),
    ...staleAge(channel, rates.get(channel.value.device)),
  ])
}

function scaleKind({ value, path }: Part<ChannelConfig>): Finding[] {
  const { id, measures, force, scale } = value
  const [wanted, other] = measures === 'force' ? (['force', 'scale'] as const) : (['scale', 'force'] as const)
  const findings: Finding[] = []
  if (value[other] !== undefined)
    findings.push(
      wrongKey([...path, other], `channel ${id}: it measures ${measures}, so it has ${wanted}, not ${other}`),
    )
  if (value[wanted] === undefined)
    findings.push(wrong(path, `channel ${id}: ${wanted} is missing; it measures ${measures}`))
  if (measures === 'force' || scale === undefined || force !== undefined) return findings
  const units = Object.keys(UNITS[QUANTITY_OF[measures].kind])
  if (units.includes(scale.unit)) return findings
  const message = `channel ${id}: scale.unit: ${measures} is in ${list(units, 'or')}, got ${scale.unit}`
  return [...findings, wrong([...path, 'scale', 'unit'], message)]
}

/** Two raw values that stand for one reading would make every sample that reading. */
function flatLines({ value, path }: Part<ChannelConfig>): Finding[] {
  return (['electrical', 'scale'] as const).flatMap((key) => {
    const reads = value[key]?.reads
    if (reads === undefined || reads[0] !== reads[1]) return []
    const message = `channel ${value.id}: ${key}.reads: the two readings must differ, got ${reads.join(' and ')}`
    return [wrong([...path, key, 'reads'], message)]
  })
}

/** @source NAMUR NE 43 speaks of 4–20 mA current loops and nothing else. */
function signalRule({ value, path }: Part<ChannelConfig>): Finding[] {
  if (value.quality.signal !== '4-20mA' || value.electrical?.unit === 'mA') return []
  const unit = value.electrical === undefined ? 'no electrical unit' : `electrical.unit ${value.electrical.unit}`
  const message = `channel ${value.id}: quality.signal: 4-20mA needs electrical.unit mA, and this channel has ${unit}`
  return [wrong([...path, 'quality', 'signal'], message)]
}

function ranges({ value, path }: Part<ChannelConfig>): Finding[] {
  const { range, range_uncertain: narrow } = value.quality
  const at = (key: string): ConfigPath => [...path, 'quality', key]
  const say = (key: string, message: string) => wrong(at(key), `channel ${value.id}: quality.${key}: ${message}`)
  const findings: Finding[] = []
  for (const [key, pair] of [['range', range] as const, ['range_uncertain', narrow] as const])
    if (pair !== undefined && pair[0] >= pair[1])
      findings.push(say(key, `expected the lower value first, got ${pair.join(' and ')}`))
  if (findings.length > 0 || range === undefined || narrow === undefined) return findings
  if (narrow[0] >= range[0] && narrow[1] <= range[1]) return []
  return [say('range_uncertain', `must lie inside range (${range.join(' to ')}), got ${narrow.join(' to ')}`)]
}

function staleAge({ value, path }: Part<ChannelConfig>, rateHz: number | undefined): Finding[] {
  const age = value.quality.stale_after_s
  if (age === undefined || rateHz === undefined || age * rateHz >= 1) return []
  const message =
    `channel ${value.id}: quality.stale_after_s: ${age} s is shorter than one poll of its device ` +
    `(rate_hz ${rateHz}: every ${Number((1 / rateHz).toPrecision(3))} s), so every sample would be stale`
  return [wrong([...path, 'quality', 'stale_after_s'], message)]
}
