import { describe, expect, it } from 'vitest'
import { ZoneRing } from '../../app/_stream/ring.ts'
import { type BeamInputs, beamMeans, beamPicture } from '../../app/_ui/live/beam-picture.ts'
import { beamLayout } from '../../app/_ui/live/beam-scale.ts'
import { unitsOf } from '../../app/_ui/units.tsx'
import type { Figure, ZoneNow } from '../../shared/schemas/now.ts'
import type { ZoneInfo } from '../../shared/schemas/zones.ts'
import { SI_CHOICE } from '../../shared/unit-choice.ts'

const units = unitsOf(SI_CHOICE)
const zone: ZoneInfo = {
  id: 'unwind',
  name: 'Unwind',
  columns: ['drive_side', 'operator_side'],
  totalMeans: 'tension',
  cellDistanceM: 1.6,
  webWidthM: 1.2,
  webOffsetM: 0.1,
  capacityN: { drive_side: 500, operator_side: 500 },
  forceFactor: { drive_side: 2, operator_side: 2 },
  rateHz: 100,
  averageSeconds: 30,
}

function figure(value: number | null, unit: Figure['unit'], U: number | null, half: number | null): Figure {
  return {
    value,
    unit,
    u: U === null ? null : U / 2,
    uRandom: null,
    U,
    k: 2,
    dof: null,
    limit: half === null ? null : { target: 0, half, source: 'test' },
    verdict: { state: 'inside', reason: { kind: 'inside' }, sentence: '' },
    window: null,
    timeMs: 0,
    waiting: null,
    why: { formula: '', source: '', inputs: [] },
  }
}

const live = { channel: 'c', unit: 'N', electrical: null, electricalUnit: null, raw: 1, timeMs: 0, halfWidthMs: 0 }
const side = (force: number, code: 'good' | 'frozen' = 'good') => ({
  live: { ...live, value: force, code },
  force: figure(force, 'N', 1, null),
  tension: figure(force / 2, 'N', 1, null),
  noise: figure(1, '%', 0.1, 1),
  peakToPeak: figure(1, 'N', 0.1, null),
  capacityN: 500,
})
const now = (code: 'good' | 'frozen' = 'good'): ZoneNow => ({
  zone: 'unwind',
  timeMs: 0,
  sides: { drive_side: side(180), operator_side: side(220, code) },
  total: figure(200, 'N', 2, null),
  totalMeans: 'tension',
  imbalance: figure(10, '%', 1, 10),
  lineOfPull: figure(0.08, 'm', 0.02, null),
  rateOfTotal: figure(0, 'N/h', 1, null),
  steady: { state: 'steady', sentence: '', forSeconds: 10 },
  aux: {},
})

function inputs(part: Partial<BeamInputs> = {}): BeamInputs {
  const ring = new ZoneRing(zone.columns, 10)
  ring.push({
    timesMs: Float64Array.of(1000),
    values: [Float32Array.of(180), Float32Array.of(220)],
    qualities: [Uint8Array.of(0), Uint8Array.of(0)],
  })
  const layout = beamLayout(800, true, 2)
  const rest = { isLive: true, nowMs: 1010, units, layout, isFlipped: false, previousAxis: null }
  return { zone, ring, fresh: now(), ...rest, ...part }
}

describe('picture of the beam', () => {
  it('shows web tension where the force factors are known, else the force along the arrow', () => {
    expect(beamMeans(zone)).toBe('tension')
    expect(beamPicture(inputs()).ends.map((e) => e.reading)).toMatchObject([{ value: 90 }, { value: 110 }])
    const without = { ...zone, forceFactor: null }
    expect(beamMeans(without)).toBe('force')
    expect(beamPicture(inputs({ zone: without })).ends[0]?.reading).toMatchObject({ value: 180 })
  })

  it('marks where each end stands at the limits: mean × (1 ± 10 %), mirrored between the sides', () => {
    const [drive, operator] = beamPicture(inputs()).ends
    // Mean of both 100 N; I = (OS − DS)/(OS + DS) = ±10 % means 90 and 110 N.
    expect(drive?.allowed?.map(Math.round)).toEqual([110, 90])
    expect(operator?.allowed?.map(Math.round)).toEqual([90, 110])
  })

  it('has no number, pull or mark left without a connection or a fresh picture', () => {
    for (const part of [{ isLive: false }, { fresh: null }]) {
      const picture = beamPicture(inputs(part))
      expect(picture.ends.map((e) => e.reading.state)).toEqual(['unknown', 'unknown'])
    }
    const picture = beamPicture(inputs({ fresh: null }))
    expect(picture.pull).toBeNull()
    expect(picture.ends.map((e) => e.allowed)).toEqual([null, null])
  })

  it('makes an end unknown that the gateway calls bad, though its samples look alive', () => {
    const [drive, operator] = beamPicture(inputs({ fresh: now('frozen') })).ends
    expect(drive?.reading.state).toBe('good')
    expect(operator?.reading).toEqual({ state: 'unknown', code: 'frozen' })
    expect(operator?.reason).not.toBe('')
  })

  it('puts the line of pull at its place between the cells with its uncertainty, and names the side in words', () => {
    const { pull } = beamPicture(inputs())
    const { leftX, rightX, middleX } = inputs().layout
    expect(pull?.x).toBeCloseTo(middleX + ((rightX - leftX) * 0.08) / 1.6)
    expect((pull?.toX ?? 0) - (pull?.fromX ?? 0)).toBeCloseTo(((rightX - leftX) * 0.04) / 1.6)
    expect(pull?.text).toMatch(/^80\s±\s20\smm towards operator side$/)
    const flipped = beamPicture(inputs({ isFlipped: true })).pull
    expect(flipped?.x).toBeCloseTo(middleX - ((rightX - leftX) * 0.08) / 1.6)
    expect(flipped?.text).toBe(pull?.text)
  })

  it('draws the web where it should run, offset to the operator side', () => {
    const { web, layout } = beamPicture(inputs())
    const scale = (layout.rightX - layout.leftX) / 1.6
    expect(web?.[0]).toBeCloseTo(layout.middleX + (0.1 - 0.6) * scale)
    expect(web?.[1]).toBeCloseTo(layout.middleX + (0.1 + 0.6) * scale)
  })

  it('leaves out what it was not told: no distance, no line of pull and no web', () => {
    const bare = { ...zone, cellDistanceM: null, webWidthM: null }
    const picture = beamPicture(inputs({ zone: bare }))
    expect(picture.pull).toBeNull()
    expect(picture.web).toBeNull()
  })
})

describe('the expected beam', () => {
  const held = (expected: Figure | undefined): ZoneNow => {
    const sides = [180, 220].map((force) => ({ ...side(force), ...(expected === undefined ? {} : { expected }) }))
    const [drive, operator] = sides
    if (drive === undefined || operator === undefined) throw new Error('two sides were made')
    return {
      ...now(),
      sides: { drive_side: drive, operator_side: operator },
      comparison: { reference: 'typed', percent: 0, en: 0, ratio: {}, wrap: 2, momentum: 16, candidates: [] },
    }
  }

  it('stands at the expected force over its factor, with each side’s part of m·v² by the web’s place', () => {
    const { ghost } = beamPicture(inputs({ fresh: held(figure(200, 'N', 6, null)) }))
    // 200/2 N, and 16 N × (½ ∓ 0.1/1.6): 7 N on the drive side, 9 N on the operator side.
    expect(ghost?.map(({ value }) => value)).toEqual([107, 109])
    expect(ghost?.map(({ U }) => U)).toEqual([3, 3])
  })

  it('adds the same to what is measured, so that both are web tension', () => {
    const { ends } = beamPicture(inputs({ fresh: held(figure(200, 'N', 6, null)) }))
    expect(ends.map(({ reading }) => (reading.state === 'unknown' ? null : reading.value))).toEqual([97, 119])
  })

  it('fits the axis', () => {
    const { axis } = beamPicture(inputs({ fresh: held(figure(900, 'N', 20, null)), previousAxis: null }))
    expect(axis.to).toBeGreaterThan(467)
  })

  it('is absent where nothing is expected, and without a connection', () => {
    expect(beamPicture(inputs({ fresh: held(undefined) })).ghost).toBeNull()
    expect(beamPicture(inputs({ fresh: held(figure(null, 'N', null, null)) })).ghost).toBeNull()
    expect(beamPicture(inputs({ fresh: held(figure(200, 'N', 6, null)), isLive: false })).ghost).toBeNull()
  })
})
