import { describe, expect, test } from 'vitest'
import { ASSUMED_OF_DRAWING } from '../../lib/geometry/drawing-uncertainty.ts'
import { ASSUMED, SET, uncertaintyOf } from '../../lib/scale/default-uncertainty.ts'
import { ZoneStatistics } from '../../lib/statistics/zone-statistics.ts'
import { statisticsOptions } from '../../lib/statistics/zone-statistics-options.ts'
import { assumedPart } from '../../lib/verdicts/figure.ts'
import { composeZoneNow } from '../../lib/verdicts/zone-now.ts'
import { epochMs, monotonicMs } from '../../shared/brand.ts'
import { type ConfigInput, configSchema } from '../../shared/schemas/config.ts'
import { geometryUncertainty } from '../../shared/schemas/geometry.ts'
import { type Figure, type ZoneNow, zoneNow } from '../../shared/schemas/now.ts'
import { zoneWith } from '../geometry/configured.ts'
import { normal } from '../statistics/noise-sources.ts'
import { channelsOf, pairAt, plantWith, sampleAt, zoneOf } from '../statistics/plant.ts'

type Cell = NonNullable<ConfigInput['channels'][number]['force']>

/** 20 s of a pair at 95 and 105 N with 0.1 N of noise, cells of 500 N. */
function pictureOf(cell: Partial<Cell>, zone: Parameters<typeof plantWith>[0] = {}): ZoneNow {
  const force = { unit: 'N', gain: 1, capacity: 500, ...cell } as const
  const channels = ['a', 'b'].map((id) => ({ id, device: 'amp', column: id, force }))
  const config = plantWith({ cells: { drive_side: 'a', operator_side: 'b' }, ...zone }, channels)
  const statistics = new ZoneStatistics(statisticsOptions(zoneOf(config), channelsOf(config), () => 100))
  const noise = normal(5)
  let t = 0
  for (let i = 0; i < 2000; i += 1) {
    t = i * 10
    statistics.add(pairAt(t, { drive: sampleAt(t, 95 + 0.1 * noise()), operator: sampleAt(t, 105 + 0.1 * noise()) }))
  }
  const now = monotonicMs(t)
  const snapshot = statistics.snapshot(now)
  return composeZoneNow({ zone: zoneOf(config), channels: channelsOf(config), snapshot, now, toEpoch: epochMs })
}
const sourceIn = (figure: Figure | undefined, name: string) =>
  figure?.why.inputs.find((input) => input.name === name)?.source

describe('an uncertainty that the config does not give', () => {
  test('is told as assumed on every figure it enters, and marks those it carries', () => {
    const picture = pictureOf({}, { force_factor: 1.5 })
    expect(zoneNow.parse(picture)).toEqual(picture)
    expect(sourceIn(picture.imbalance, 'gain of the drive side')).toBe(ASSUMED)
    expect(sourceIn(picture.imbalance, 'zero of the operator side')).toBe(ASSUMED)
    expect(sourceIn(picture.total, 'force factor')).toBe(ASSUMED)
    expect(picture.imbalance?.assumed).toBe(true)
    expect(picture.total.assumed).toBe(true)
  })
  test('is told as set where the config gives it, though it be the same number; nothing is marked then', () => {
    const cell = { u_gain_percent: 0.5, u_zero_percent: 0.1 }
    const given = pictureOf(cell, { force_factor: 1.5, u_force_factor_percent: 1 })
    const silent = pictureOf({}, { force_factor: 1.5 })
    expect(given.imbalance?.u).toBe(silent.imbalance?.u)
    expect(given.total.u).toBe(silent.total.u)
    expect(sourceIn(given.imbalance, 'gain of the drive side')).toBe(SET)
    expect(sourceIn(given.total, 'force factor')).toBe(SET)
    for (const figure of [given.imbalance, given.total]) expect(figure && 'assumed' in figure).toBe(false)
  })
  test('does not mark a figure whose largest systematic input the config gives', () => {
    // 2 % of 105 N against an assumed zero of 0.1 % of 500 N.
    const picture = pictureOf({ u_gain_percent: 2 })
    expect(sourceIn(picture.imbalance, 'zero of the drive side')).toBe(ASSUMED)
    expect(picture.imbalance && 'assumed' in picture.imbalance).toBe(false)
  })
  test('does not mark a figure whose uncertainty is mostly scatter', () => {
    const assumed = { contribution: 0.3, source: ASSUMED }
    expect(assumedPart([assumed], 1)).toEqual({})
    expect(assumedPart([assumed], 0.5)).toEqual({ assumed: true })
    expect(assumedPart([{ contribution: -0.4, source: SET }, assumed], 0.5)).toEqual({})
    expect(assumedPart([], 0)).toEqual({})
  })
  test('stays out of the parsed config, so that a number once assumed never reads as set', () => {
    const { channels } = configSchema.parse({
      version: 1,
      devices: [{ id: 'amp', transport: 'replay', file: 'a.csv' }],
      channels: [{ id: 'a', device: 'amp', force: { gain: 1, capacity: 5 } }],
      zones: [{ id: 'z', cells: { single: 'a' } }],
    })
    expect(channels[0]?.force?.u_gain_percent).toBeUndefined()
    expect(uncertaintyOf('gain', undefined)).toEqual({ percent: 0.5, share: 0.005, source: ASSUMED })
    expect(uncertaintyOf('gain', 0)).toEqual({ percent: 0, share: 0, source: SET })
  })
  test('the schema tells an editor the same numbers that are assumed', () => {
    for (const [key, { description }] of Object.entries(geometryUncertainty.shape)) {
      const value = ASSUMED_OF_DRAWING[key as keyof typeof ASSUMED_OF_DRAWING]
      expect(description, key).toContain(`without it ${value} is assumed`)
    }
    expect(zoneWith({}).zone.u_force_factor_percent).toBeUndefined()
  })
})
