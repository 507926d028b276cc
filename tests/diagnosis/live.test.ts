import { describe, expect, it } from 'vitest'
import { exampleShift } from '../../gateway/http/shift-example.ts'
import { exampleSpectrum } from '../../gateway/http/spectrum-example.ts'
import { diagnose } from '../../lib/diagnosis/diagnose.ts'
import { featuresFromLive } from '../../lib/diagnosis/extract/from-live.ts'
import { ZoneStatistics } from '../../lib/statistics/zone-statistics.ts'
import { statisticsOptions } from '../../lib/statistics/zone-statistics-options.ts'
import { composeZoneNow } from '../../lib/verdicts/zone-now.ts'
import { epochMs, monotonicMs } from '../../shared/brand.ts'
import { diagnosisFeature } from '../../shared/schemas/diagnosis.ts'
import type { Figure, SideNow, ZoneNow } from '../../shared/schemas/now.ts'
import { normal } from '../statistics/noise-sources.ts'
import { channelsOf, pairAt, plantWith, sampleAt, zoneOf } from '../statistics/plant.ts'
import { CONTEXT } from './support/pictures.ts'

const NOTHING = { now: null, shift: null, spectrum: null }
/** A minute of 95 N and 105 N with 1 N of noise at 5 m/s, as the gateway would show it. */
function running(): ZoneNow {
  const config = plantWith({ force_factor: 1.5, cell_distance_m: 1.6, speed: 'speed', drift_s: 120 })
  const channels = channelsOf(config)
  const statistics = new ZoneStatistics(statisticsOptions(zoneOf(config), channels, () => 100))
  const noise = normal(21)
  let t = 0
  for (let i = 0; i < 6000; i += 1) {
    t = 1_000_000 + i * 10
    const sides = { drive: sampleAt(t, 95 + noise()), operator: sampleAt(t, 105 + noise()) }
    statistics.add(pairAt(t, sides, { speed: sampleAt(t, 5) }))
  }
  return composeZoneNow({
    zone: zoneOf(config),
    channels,
    snapshot: statistics.snapshot(monotonicMs(t)),
    now: monotonicMs(t),
    toEpoch: (at) => epochMs(at + 1_700_000_000_000),
  })
}
const RUNNING = running()

const sidesOf = (now: ZoneNow) => now.sides as { drive_side: SideNow; operator_side: SideNow }
const changed = (change: (now: ZoneNow) => void): ZoneNow => {
  const now = structuredClone(RUNNING)
  change(now)
  return now
}
const told = (now: ZoneNow) => featuresFromLive({ ...NOTHING, now }, CONTEXT)
const untold = (figure: Figure): void => {
  Object.assign(figure, { value: null, u: null, U: null })
}

describe('live figures become features', () => {
  it('all three sources give features of the published form, and nothing gives none', () => {
    const features = featuresFromLive({ now: RUNNING, shift: exampleShift, spectrum: exampleSpectrum }, CONTEXT)
    expect(features.length).toBeGreaterThan(8)
    for (const one of features) expect(diagnosisFeature.safeParse(one).success, one.id).toBe(true)
    expect(featuresFromLive(NOTHING, CONTEXT)).toEqual([])
  })
  it('the side difference with its standard uncertainty, as it stands', () => {
    const { imbalance } = RUNNING
    expect(told(RUNNING)).toContainEqual(
      expect.objectContaining({ id: 'imbalance-now', side: null, value: imbalance?.value, u: imbalance?.u }),
    )
  })
  it('a figure that waits is missing, not zero', () => {
    const features = told(
      changed(({ imbalance }) => {
        if (imbalance !== undefined) untold(imbalance)
      }),
    )
    expect(features.some(({ id }) => id === 'imbalance-now')).toBe(false)
  })
  it('a zone that is not steady tells of quality and nothing of agreement', () => {
    const ids = told(
      changed((now) => {
        now.steady.state = 'not-steady'
      }),
    ).map(({ id }) => id)
    expect(ids).toContain('alive')
    expect(ids).not.toContain('imbalance-now')
    expect(ids).not.toContain('agreement-now')
  })
  it('a side with a broken wire is dead and out of band, and is diagnosed as that', () => {
    const now = changed((picture) => {
      const { operator_side: side } = sidesOf(picture)
      side.live.code = 'wire-break'
      untold(side.force)
      untold(side.noise)
      if (picture.imbalance !== undefined) untold(picture.imbalance)
    })
    const features = told(now)
    expect(features).toContainEqual(expect.objectContaining({ id: 'alive', side: 'operator_side', value: 0 }))
    expect(diagnose({ features, context: CONTEXT }).causes[0]).toMatchObject({
      cause: 'open-bridge',
      side: 'operator_side',
    })
  })
  it('a value that stands while the other moves is frozen, and is diagnosed as stuck', () => {
    const features = told(
      changed((picture) => {
        const { drive_side: side } = sidesOf(picture)
        side.live.code = 'frozen'
        untold(side.noise)
      }),
    )
    expect(features).toContainEqual(expect.objectContaining({ id: 'moves', side: 'drive_side', value: 0 }))
    expect(diagnose({ features, context: CONTEXT }).causes[0]).toMatchObject({
      cause: 'stuck-value',
      side: 'drive_side',
    })
  })
  it('a side under its zero beyond its uncertainty while the web pulls reads negative; a slack web tells nothing', () => {
    const down = told(
      changed((picture) => {
        const { force } = sidesOf(picture).drive_side
        force.value = -Math.abs(force.value ?? 100)
      }),
    )
    expect(down).toContainEqual(expect.objectContaining({ id: 'reads-negative', side: 'drive_side', value: 1 }))
    const slack = told(
      changed((picture) => {
        for (const { force } of Object.values(sidesOf(picture))) Object.assign(force, { value: 0.1, U: 0.5 })
      }),
    )
    expect(slack.some(({ id }) => id === 'reads-negative')).toBe(false)
  })
})

describe('a shift and a spectrum', () => {
  it('rates keep the uncertainty of their figures; a rate that waits is missing', () => {
    const features = featuresFromLive({ ...NOTHING, shift: exampleShift }, CONTEXT)
    const agreement = exampleShift.drifts.find(({ quantity }) => quantity === 'agreement')
    const found = features.find(({ id }) => id === 'drift-residual')
    if (agreement?.rate.value == null) expect(found).toBeUndefined()
    else expect(found).toMatchObject({ value: agreement.rate.value, u: agreement.rate.u })
    const waiting = structuredClone(exampleShift)
    for (const { rate } of waiting.drifts) untold(rate)
    const ids = featuresFromLive({ ...NOTHING, shift: waiting }, CONTEXT).map(({ id }) => id)
    expect(ids).not.toContain('drift-residual')
    expect(ids).not.toContain('zero-drift')
  })
  it('a line at the roller’s own turn is a share of its side’s force; a spectrum that waits tells nothing of lines', () => {
    const spectrum = structuredClone(exampleSpectrum)
    const signal = spectrum.signals.single
    if (signal?.state !== 'told') throw new RangeError('the example tells its spectrum')
    spectrum.signals.drive_side = signal
    const line = signal.lines.find(({ order }) => order !== null && Math.abs(order - 1) < 0.03)
    const once = featuresFromLive({ ...NOTHING, now: RUNNING, spectrum }, CONTEXT).find(
      ({ id }) => id === 'once-per-turn',
    )
    expect(once?.value).toBeCloseTo(
      (100 * (line?.amplitude ?? Number.NaN)) / (sidesOf(RUNNING).drive_side.force.value ?? 0),
      9,
    )
    spectrum.signals.drive_side = { state: 'waiting', sentence: 'waits', needsSeconds: 5 }
    const ids = featuresFromLive({ ...NOTHING, now: RUNNING, spectrum }, CONTEXT).map(({ id }) => id)
    expect(ids).not.toContain('once-per-turn')
    expect(ids).not.toContain('mains-running')
  })
})

describe('a cantilever with one cell', () => {
  const context = { ...CONTEXT, sides: ['single' as const] }
  it('has no causes that need two sides, and its arrow is found by its own name', () => {
    const features = [
      { id: 'arrow-error', side: 'single', value: 20, u: 0.5, source: 'fit.arrow-angle', limit: null },
      { id: 'slope-common', side: null, value: -6, u: 1, source: 'running.points', limit: null },
    ] as const
    const { causes } = diagnose({ features: [...features], context })
    expect(causes[0]).toMatchObject({ cause: 'both-arrows-off', side: null })
    expect(causes.map(({ cause }) => cause)).not.toContain('web-off-centre')
    expect(causes.reduce((sum, { probability }) => sum + probability, 0)).toBeCloseTo(1, 9)
  })
})
