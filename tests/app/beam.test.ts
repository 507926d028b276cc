import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { ZoneRing } from '../../app/_stream/ring.ts'
import { beamAxis, beamLayout, niceAtLeast, ticksOf, xOf, yOf } from '../../app/_ui/live/beam-scale.ts'
import { endReading, SHIVER_MS } from '../../app/_ui/live/end-reading.ts'
import { tickLabel } from '../../app/_ui/live/tick-label.ts'
import { type QualityCode, qualityByte } from '../../shared/quality.ts'

describe('upright axis of the beam', () => {
  const forces = fc.array(fc.double({ min: -1e5, max: 1e5, noNaN: true }), { minLength: 1, maxLength: 2 })

  it('holds zero and every value, or a value under it by no more than its own noise', () => {
    fc.assert(
      fc.property(forces, (values) => {
        const axis = beamAxis(values, null, 100)
        const size = axis.to - axis.from
        expect(axis.from).toBeLessThanOrEqual(0)
        expect(axis.to).toBeGreaterThanOrEqual(0)
        for (const v of values) {
          expect(v).toBeLessThanOrEqual(axis.to)
          expect(v).toBeGreaterThanOrEqual(axis.from - 0.03 * size)
        }
      }),
    )
  })

  it('has ticks on whole steps, one of them zero, and few enough to read', () => {
    fc.assert(
      fc.property(forces, (values) => {
        const axis = beamAxis(values, null, 100)
        const ticks = ticksOf(axis)
        expect(ticks.length).toBeLessThanOrEqual(9)
        expect(ticks.some((t) => Math.abs(t) < axis.step * 1e-6)).toBe(true)
      }),
    )
  })

  it('stays as it is while the values fit it, so that noise does not move it', () => {
    const axis = beamAxis([300, 310], null, 1000)
    expect(beamAxis([318, 290], axis, 1000)).toBe(axis)
    expect(beamAxis([Number.NaN], axis, 1000)).toBe(axis)
    expect(beamAxis([axis.to + 1], axis, 1000)).not.toBe(axis)
    expect(beamAxis([60, 80], axis, 1000)).not.toBe(axis)
  })

  it('does not make much of noise around zero: at least 5 % of the capacity', () => {
    expect(beamAxis([0.3, -0.4], null, 1000).to).toBeGreaterThanOrEqual(50)
    expect(beamAxis([0.3, -0.4], null, 1000).from).toBe(0)
  })

  it('shows the capacity while nothing is known', () => {
    expect(beamAxis([], null, 400).to).toBeGreaterThanOrEqual(400)
  })

  it.each([
    [0.03, 0.05],
    [1, 1],
    [1.1, 2],
    [2.4, 2.5],
    [730, 1000],
    [0, 1],
    [Number.NaN, 1],
  ])('takes for at least %d the round number %d', (least, nice) => expect(niceAtLeast(least)).toBeCloseTo(nice, 12))

  it.each([
    [50, 2.5, '50.0'],
    [200, 100, '200'],
    [-0.25, 0.25, '−0.25'],
    [0.5, 0.5, '0.5'],
  ])('labels tick %d of step %d as %s', (tick, step, text) => expect(tickLabel(tick, step)).toBe(text))
})

describe('places of the beam', () => {
  const layout = beamLayout(800, true, 2)

  it('puts more force higher', () => {
    const axis = { from: 0, to: 400, step: 100 }
    expect(yOf(layout, axis, 0)).toBe(layout.bottom)
    expect(yOf(layout, axis, 400)).toBe(layout.top)
    expect(yOf(layout, axis, 300)).toBeLessThan(yOf(layout, axis, 200))
  })

  it('puts the operator side right, or left when flipped, and the cells at half their distance', () => {
    expect(xOf(layout, 1.6, 0.8, false)).toBeCloseTo(layout.rightX)
    expect(xOf(layout, 1.6, 0.8, true)).toBeCloseTo(layout.leftX)
    expect(xOf(layout, 1.6, 0, true)).toBeCloseTo(layout.middleX)
  })
})

describe('what an end of the beam shows', () => {
  const ringOf = (rows: readonly (readonly [number, number, QualityCode])[]) => {
    const ring = new ZoneRing(['drive_side'], 100)
    for (const [t, value, code] of rows)
      ring.push({
        timesMs: Float64Array.of(t),
        values: [Float32Array.of(value)],
        qualities: [Uint8Array.of(qualityByte(code))],
      })
    return ring
  }

  it('is the newest sample and the range of the last two seconds', () => {
    const ring = ringOf([
      [0, 500, 'good'],
      [SHIVER_MS, 10, 'good'],
      [SHIVER_MS + 10, 14, 'good'],
      [SHIVER_MS + 20, 12, 'good'],
    ])
    expect(endReading(ring, 0, SHIVER_MS + 30, 2)).toEqual({ state: 'good', value: 6, low: 5, high: 7, code: 'good' })
  })

  it('is unknown with its reason as soon as the newest sample is bad, whatever came before', () => {
    const ring = ringOf([
      [0, 10, 'good'],
      [10, Number.NaN, 'wire-break'],
    ])
    expect(endReading(ring, 0, 20, 1)).toEqual({ state: 'unknown', code: 'wire-break' })
  })

  it('is unknown when samples stopped coming, never the last value', () => {
    expect(endReading(ringOf([[0, 10, 'good']]), 0, 1501, 1)).toEqual({ state: 'unknown', code: 'no-samples' })
    expect(endReading(ringOf([]), 0, 0, 1)).toEqual({ state: 'unknown', code: 'no-samples' })
  })

  it('passes over rows in which only the other side came', () => {
    const ring = ringOf([
      [0, 10, 'good'],
      [5, Number.NaN, 'missing'],
    ])
    expect(endReading(ring, 0, 10, 1)).toMatchObject({ state: 'good', value: 10 })
  })

  it('says that a sample is uncertain', () => {
    expect(endReading(ringOf([[0, 10, 'saturated']]), 0, 10, 1)).toMatchObject({
      state: 'uncertain',
      code: 'saturated',
    })
  })

  it('leaves bad samples out of the range', () => {
    const ring = ringOf([
      [0, Number.NaN, 'no-answer'],
      [10, 10, 'good'],
    ])
    expect(endReading(ring, 0, 20, 1)).toMatchObject({ low: 10, high: 10 })
  })

  it('stands at the middle of an envelope row and shivers over its range', () => {
    const ring = new ZoneRing(['drive_side'], 10)
    ring.push({
      timesMs: Float64Array.of(0),
      values: [Float32Array.of(8)],
      maxima: [Float32Array.of(12)],
      qualities: [Uint8Array.of(0)],
    })
    expect(endReading(ring, 0, 10, 1)).toMatchObject({ value: 10, low: 8, high: 12 })
  })
})
