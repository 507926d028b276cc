import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { FrameAssembler } from '../../lib/zone/frame-assembler.ts'
import { monotonicMs } from '../../shared/brand.ts'
import type { Sample, Side, ZoneFrame } from '../../shared/sample.ts'

const sample = (tMs: number, value = 1): Sample => ({
  tMs: monotonicMs(tMs),
  halfWidthMs: 0.5,
  raw: value,
  electrical: null,
  value,
  code: 'good',
})
const twoSides = (maxSkewMs = 50) =>
  new FrameAssembler({
    sides: ['drive_side', 'operator_side'],
    maxSkewMs,
    maxWaitMs: 100,
    auxMaxAgeMs: { speed: 500 },
  })

describe('FrameAssembler', () => {
  it('joins two sides of one request into one frame with no time between them', () => {
    const zone = twoSides()
    expect(zone.push('drive_side', sample(10))).toEqual([])
    const [frame] = zone.push('operator_side', sample(10))
    expect(frame).toMatchObject({ tMs: 10, skewMs: 0 })
    expect(Object.keys(frame?.sides ?? {}).sort()).toEqual(['drive_side', 'operator_side'])
  })
  it('keeps the time between sides that were read apart: positive when the operator side is later', () => {
    const zone = twoSides()
    zone.push('drive_side', sample(10))
    expect(zone.push('operator_side', sample(30))[0]).toMatchObject({ tMs: 20, skewMs: 20 })
    zone.push('operator_side', sample(100))
    expect(zone.push('drive_side', sample(130))[0]).toMatchObject({ tMs: 115, skewMs: -30 })
  })
  it('never joins sides further apart than allowed: the older goes alone', () => {
    const zone = twoSides()
    zone.push('drive_side', sample(0))
    const [alone] = zone.push('operator_side', sample(60))
    expect(alone?.skewMs).toBeNull()
    expect(Object.keys(alone?.sides ?? {})).toEqual(['drive_side'])
    expect(zone.push('drive_side', sample(100))[0]).toMatchObject({ tMs: 80, skewMs: -40 })
  })
  it('sends a side alone when its partner does not come in time', () => {
    const zone = twoSides()
    zone.push('operator_side', sample(0))
    expect(zone.expire(monotonicMs(100))).toEqual([])
    expect(zone.expire(monotonicMs(101)).map((f) => Object.keys(f.sides))).toEqual([['operator_side']])
    expect(zone.expire(monotonicMs(500))).toEqual([])
  })
  it('makes a frame of every sample of a single cell, without a partner', () => {
    const zone = new FrameAssembler({ sides: ['single'], maxSkewMs: 50, maxWaitMs: 100, auxMaxAgeMs: {} })
    expect(zone.push('single', sample(5))[0]).toMatchObject({ tMs: 5, skewMs: 0 })
  })
  it('joins the newest auxiliary sample only while it is fresh', () => {
    const zone = new FrameAssembler({ sides: ['single'], maxSkewMs: 50, maxWaitMs: 100, auxMaxAgeMs: { speed: 500 } })
    zone.setAux('speed', sample(0, 3))
    expect(zone.push('single', sample(500))[0]?.aux.speed?.value).toBe(3)
    expect(zone.push('single', sample(501))[0]?.aux).toEqual({})
  })
  it('puts every sample into exactly one frame, whatever the order of arrival', () => {
    const arrival = fc.record({ side: fc.constantFrom<Side>('drive_side', 'operator_side'), step: fc.nat(120) })
    fc.assert(
      fc.property(fc.array(arrival, { maxLength: 60 }), (arrivals) => {
        const zone = twoSides()
        const frames: ZoneFrame[] = []
        let t = 0
        arrivals.forEach(({ side, step }, i) => {
          t += step
          frames.push(...zone.push(side, sample(t, i)))
        })
        frames.push(...zone.expire(monotonicMs(t + 1000)))
        const values = frames.flatMap((f) => Object.values(f.sides).map((s) => s.value))
        expect([...values].sort((a, b) => Number(a) - Number(b))).toEqual(arrivals.map((_, i) => i))
        for (const f of frames) if (f.skewMs !== null) expect(Math.abs(f.skewMs)).toBeLessThanOrEqual(50)
      }),
    )
  })
})
