import { describe, expect, it } from 'vitest'
import type { ZoneRows } from '../../lib/spectrum/signals.ts'
import { finish } from '../../lib/spectrum/welch.ts'
import { zoneSpectrum as zoneSpectrumSteps } from '../../lib/spectrum/zone-spectrum.ts'
import { Random } from '../../lib/uncertainty/random.ts'
import { qualityByte } from '../../shared/quality.ts'
import { zone as zoneSchema } from '../../shared/schemas/config/zone.ts'
import type { ZoneConfig } from '../../shared/schemas/config.ts'
import { type SignalSpectrumView, type ZoneSpectrum, zoneSpectrum } from '../../shared/schemas/spectrum.ts'

const RATE = 80
const EPOCH = 1_760_000_000_000
const BAD = qualityByte('wire-break')
const roller = (name: string, diameter_mm: number, x_mm: number) =>
  ({
    name,
    x_mm,
    y_mm: x_mm === 0 ? 0 : -400,
    diameter_mm,
    turn: x_mm === 0 ? 'clockwise' : 'counter-clockwise',
  }) as const
const geometry = {
  rollers: {
    before: [roller('coater exit', 120, -600)],
    measuring: roller('measuring roller', 150, 0),
    after: [roller('pull roll', 200, 500)],
  },
  roller_mass_kg: 14,
  arrows_deg: { drive_side: -90, operator_side: -90 },
  tension: { low_n: 100, normal_n: 200, high_n: 300, fastest_m_min: 300 },
} as const
const cells = { drive_side: 'a', operator_side: 'b' }
const bare = zoneSchema.parse({ id: 'z', cells })
const drawn = zoneSchema.parse({ id: 'z', cells, speed: 'v', cell_distance_m: 1.6, web_width_m: 1.3, geometry })

interface MadeRows {
  readonly seconds?: number
  readonly rateHz?: number
  readonly force?: (t: number, side: 'drive' | 'operator') => number
  readonly speed?: (t: number) => number
  readonly quality?: (t: number, column: string) => number
}

function rowsOf({ seconds = 60, rateHz = RATE, force = () => 0, speed, quality = () => 0 }: MadeRows): ZoneRows {
  const random = Random.seeded(7)
  const n = Math.round(seconds * rateHz)
  const t = Array.from({ length: n }, (_, i) => i / rateHz)
  const columns = ['drive_side', 'operator_side', ...(speed === undefined ? [] : ['speed'])] as ZoneRows['columns']
  const side = (name: 'drive' | 'operator') =>
    Float32Array.from(t, (at) => 200 + force(at, name) + 0.05 * random.normal())
  const values = [side('drive'), side('operator'), ...(speed === undefined ? [] : [Float32Array.from(t, speed)])]
  return {
    columns,
    timesMs: Float64Array.from(t, (at) => EPOCH + 1000 * at),
    values,
    qualities: columns.map((column) => Uint8Array.from(t, (at) => quality(at, column))),
  }
}

function told(rows: ZoneRows, options: { zone?: ZoneConfig; agoMs?: number; seconds?: number; skewMs?: number } = {}) {
  const newest = rows.timesMs.at(-1) ?? EPOCH
  const spectrum = finish(
    zoneSpectrumSteps({
      zone: options.zone ?? bare,
      channels: new Map(),
      rateHz: RATE,
      rows,
      seconds: options.seconds ?? 60,
      nowMs: newest + (options.agoMs ?? 10),
      skewMs: options.skewMs ?? 0,
    }),
  )
  return zoneSpectrum.parse(spectrum)
}

function linesOf(view: SignalSpectrumView | undefined) {
  if (view?.state !== 'told') throw new Error(`not told: ${JSON.stringify(view)}`)
  return view.lines
}
const lineAt = (spectrum: ZoneSpectrum, signal: keyof ZoneSpectrum['signals'], hz: number) => {
  const found = linesOf(spectrum.signals[signal]).find((line) => Math.abs(line.frequencyHz - hz) < 0.15)
  if (found === undefined) throw new Error(`no line at ${hz} Hz`)
  return found
}
const words = ({ candidates }: ReturnType<typeof lineAt>) => candidates.map((candidate) => candidate.words)
const sine = (hz: number, t: number) => Math.sin(2 * Math.PI * hz * t)
// By hand: 4 m/s on 150 mm is 4/(π·0.15) = 8.488 Hz; 49.98 Hz of mains sampled 80 times a second shows at 30.02 Hz.
const TURN = 8.488
const running = (t: number, side: 'drive' | 'operator') =>
  (side === 'drive' ? 0.5 : -0.5) * sine(TURN, t) + 0.2 * sine(49.98, t)

describe('lines of a zone', () => {
  const spectrum = told(rowsOf({ force: running, speed: () => 4 }), { zone: drawn })

  it('carry amplitude ± U, order, and every source within resolution; no source is claimed where none is near', () => {
    const line = lineAt(spectrum, 'drive_side', TURN)
    expect(Math.abs((line.amplitude ?? 0) - 0.5)).toBeLessThan(line.U ?? 0)
    expect(line.order).toBeCloseTo(1, 2)
    expect(words(line)).toEqual(['once a turn of the measuring roller'])
    const odd = told(rowsOf({ force: (t) => 0.3 * sine(15.5, t), speed: () => 4 }), { zone: drawn })
    expect(words(lineAt(odd, 'drive_side', 15.5))).toEqual([])
  })
  it('are offered with all sources that share their place: 200 mm four times, 150 mm three times a turn', () => {
    // 4 × 4/(π·0.2) = 3 × 4/(π·0.15) = 25.46 Hz.
    const both = told(rowsOf({ force: (t) => 0.3 * sine(25.465, t), speed: () => 4 }), { zone: drawn })
    const offered = words(lineAt(both, 'drive_side', 25.465))
    expect(offered).toContain('three times a turn of the measuring roller')
    expect(offered).toContain('four times a turn of the pull roll')
  })
  it('of the mains are named at their alias, as folded', () => {
    const line = lineAt(spectrum, 'operator_side', 30.02)
    expect(line.candidates[0]).toMatchObject({ kind: 'mains', words: 'mains at 50 Hz', frequencyHz: 50, folded: true })
    expect(Math.abs(line.frequencyHz - 30.02)).toBeLessThan(line.U_Hz)
  })
  it('that are opposed on the two sides stand in the difference, alike ones in the sum', () => {
    expect(lineAt(spectrum, 'difference', TURN).amplitude).toBeCloseTo(1, 1)
    expect(() => lineAt(spectrum, 'sum', TURN)).toThrow('no line')
    expect(lineAt(spectrum, 'sum', 30.02).amplitude).toBeCloseTo(0.4, 1)
    expect(() => lineAt(spectrum, 'difference', 30.02)).toThrow('no line')
  })
  it('in a difference of sides that are read apart are worth less: what both have alike leaves 2 sin(πfδ)', () => {
    const close = lineAt(spectrum, 'difference', TURN)
    const apart = lineAt(
      told(rowsOf({ force: running, speed: () => 4 }), { zone: drawn, skewMs: 5 }),
      'difference',
      TURN,
    )
    expect((apart.U ?? 0) - (close.U ?? 0)).toBeCloseTo(2 * Math.sin(Math.PI * TURN * 0.005) * 0.5, 2)
  })
  it('near the natural frequency of the roller, where the zone tells it, are offered with it', () => {
    const zone = { ...drawn, natural_frequency_hz: 22 }
    const shaken = told(rowsOf({ force: (t) => 0.3 * sine(22.3, t), speed: () => 4 }), { zone })
    expect(words(lineAt(shaken, 'drive_side', 22.3))).toContain('the roller swinging on its cells')
  })
})

describe('speed', () => {
  const at = (speed?: (t: number) => number) =>
    told(rowsOf({ force: running, ...(speed === undefined ? {} : { speed }) }), { zone: drawn })

  it('that moves too much is said, and lines of rollers lose their order', () => {
    const moving = at((t) => 4 + 0.01 * t)
    expect(moving.speed).toMatchObject({ state: 'moving' })
    expect(moving.speed.sentence).toMatch(/too much for the lines of rollers to stand/)
    expect(lineAt(moving, 'drive_side', TURN).order).toBeNull()
  })
  it('that moves a little smears fast lines only, and says from where', () => {
    const { speed } = at((t) => 4 + 0.0005 * t)
    expect(speed.state).toBe('steady')
    // 2 bins of 80/1024 Hz over 0.74 % (largest less smallest second of 60 s at 0.0005 m/s²).
    expect(speed.smearedAboveHz).toBeCloseTo((2 * 80) / 1024 / (0.0295 / 4.015), 0)
  })
  it('that stands still turns no roller; that is unknown names none', () => {
    const stopped = at(() => 0)
    expect(stopped.speed.state).toBe('stopped')
    expect(words(lineAt(stopped, 'drive_side', TURN))).toEqual([])
    expect(at().speed.state).toBe('unknown')
    expect(at().cannotSee.join(' ')).toContain('speed of the web is not known')
  })
  it('faster than half the sampling rate: the roller’s own line is said to be folded, and there is no axis in turns', () => {
    const rows = rowsOf({ seconds: 120, rateHz: 20, force: running, speed: () => 6 })
    const fast = told(rows, { zone: drawn, seconds: 120 })
    expect(fast.speed.sentence).toMatch(/12\.7 times a second, faster than half the sampling rate/)
    expect(linesOf(fast.signals.drive_side).every(({ order }) => order === null)).toBe(true)
  })
})

describe('what cannot be told', () => {
  it('nothing good: no number, and why', () => {
    const { signals } = told(rowsOf({ quality: () => BAD }))
    for (const signal of Object.values(signals))
      expect(signal).toEqual({ state: 'waiting', sentence: 'No good sample in the last 60 s.', needsSeconds: null })
  })
  it('one side bad: the other is told, sum and difference are not', () => {
    const { signals } = told(rowsOf({ quality: (_, column) => (column === 'operator_side' ? BAD : 0) }))
    expect(signals.drive_side?.state).toBe('told')
    for (const name of ['operator_side', 'sum', 'difference'] as const) expect(signals[name]?.state).toBe('waiting')
  })
  it('an uncertain sample counts as missing: a gap, and the method that takes gaps', () => {
    const saturated = qualityByte('saturated')
    const { signals } = told(rowsOf({ force: running, quality: (t) => (t > 20 && t < 20.5 ? saturated : 0) }))
    expect(signals.drive_side).toMatchObject({ method: 'lomb-scargle', samples: expect.any(Number) })
    if (signals.drive_side?.state === 'told') expect(signals.drive_side.sentence).toMatch(/1 gap between samples/)
  })
  it('silence: a spectrum of the past is not shown as that of now', () => {
    const { signals } = told(rowsOf({ force: running }), { agoMs: 5000 })
    expect(signals.drive_side).toMatchObject({ state: 'waiting', sentence: 'No good sample for 5.0 s.' })
  })
  it('too few yet: how many seconds more; too short a window: how long it must be', () => {
    // 1 s is 80 samples of the 128: 48 more are 0.6 s.
    expect(told(rowsOf({ seconds: 1 })).signals.drive_side).toMatchObject({ needsSeconds: 1 })
    expect(told(rowsOf({ seconds: 1 }), { seconds: 1 }).signals.drive_side).toMatchObject({
      sentence: '1.0 s hold too few samples at 80.0 a second: ask for 2.0 s or more.',
      needsSeconds: null,
    })
  })
  it('sampling: what is folded, what hides at 0 Hz or at half the rate, what is not in the config', () => {
    const said = told(rowsOf({ rateHz: 50, seconds: 60 })).cannotSee
    expect(said[0]).toMatch(/nothing faster than 25\.0 Hz is seen as itself.*filter.*not known/)
    expect(said.join('\n')).toMatch(/Mains at 50 Hz would show at about 0\.000 Hz: as a shift or a slow wander/)
    expect(said.join('\n')).toMatch(/no web path \(geometry\)/)
    expect(said.join('\n')).toMatch(/natural_frequency_hz/)
    expect(told(rowsOf({ rateHz: 100 })).cannotSee.join('\n')).toMatch(/Mains at 50 Hz would show so near 50\.0 Hz/)
  })
})
