import type { Outcome, Quantity } from '../../lib/statistics/zone-snapshot.ts'
import { ZoneStatistics } from '../../lib/statistics/zone-statistics.ts'
import { statisticsOptions } from '../../lib/statistics/zone-statistics-options.ts'
import type { ZoneFrame } from '../../shared/sample.ts'
import { normal } from './noise-sources.ts'
import { channelsOf, pairAt, plantWith, sampleAt, zoneOf } from './plant.ts'

export type ZoneInput = Parameters<typeof plantWith>[0]

export function statistics(zone: ZoneInput = {}, rateHz = 100): ZoneStatistics {
  const config = plantWith(zone)
  return new ZoneStatistics(statisticsOptions(zoneOf(config), channelsOf(config), () => rateHz))
}

export const START = 1_000_000
/** `seconds` of both sides at 100/s around their means, with white noise of 0.5 N, seeded. */
export function run(
  zone: ZoneStatistics,
  fromMs: number,
  seconds: number,
  means: { drive: number; operator: number },
  extra: (i: number, tMs: number) => Partial<ZoneFrame> = () => ({}),
): number {
  const drive = normal(11)
  const operator = normal(12)
  let t = fromMs
  for (let i = 0; i < seconds * 100; i += 1) {
    t = fromMs + i * 10
    const frame = pairAt(t, {
      drive: sampleAt(t, means.drive + 0.5 * drive()),
      operator: sampleAt(t, means.operator + 0.5 * operator()),
    })
    zone.add({ ...frame, ...extra(i, t) })
  }
  return t
}

export function told(outcome: Outcome | null | undefined): Quantity {
  if (outcome?.kind !== 'told') throw new Error(`not told: ${JSON.stringify(outcome)}`)
  return outcome.quantity
}
export const why = (outcome: Outcome | undefined): string =>
  outcome === undefined || outcome.kind === 'told' ? '' : outcome.kind === 'waiting' ? outcome.for : outcome.why
export const contribution = (quantity: Quantity, name: string): number =>
  quantity.systematic.find((input) => input.name === name)?.contribution ?? Number.NaN
