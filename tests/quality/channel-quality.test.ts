import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { ChannelQuality } from '../../lib/quality/channel-quality.ts'
import { monotonicMs } from '../../shared/brand.ts'
import { QUALITY_CODES, qualityByte, qualityFromByte, qualityOf } from '../../shared/quality.ts'
import { channel as channelSchema } from '../../shared/schemas/config.ts'

const cell = (extra: object = {}) =>
  channelSchema.parse({
    id: 'ds',
    device: 'amp',
    electrical: { unit: 'mA' },
    force: { gain: 50, zero: 4, capacity: 800 },
    ...extra,
  })
const at = monotonicMs

describe('ChannelQuality', () => {
  it('applies NE 43 to a load cell read in mA without being told', () => {
    const quality = new ChannelQuality(cell())
    expect(quality.judge(at(0), 3.2, 3.2)).toBe('wire-break')
    expect(quality.judge(at(1), 3.7, 3.7)).toBe('saturated')
    expect(quality.judge(at(2), 12, 12)).toBe('good')
  })
  it('leaves NE 43 out when the config says so', () => {
    const quality = new ChannelQuality(cell({ quality: { signal: 'none' } }))
    expect(quality.judge(at(0), 3.2, 3.2)).toBe('good')
  })
  it('calls NaN and infinities not-a-number before anything else', () => {
    const quality = new ChannelQuality(cell())
    for (const raw of [Number.NaN, Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY])
      expect(quality.judge(at(0), raw, raw)).toBe('not-a-number')
  })
  it('calls a value outside its range bad and outside the narrower range uncertain', () => {
    const rules = { signal: 'none', range: [0, 10], range_uncertain: [1, 9] }
    const quality = new ChannelQuality(cell({ quality: rules }))
    const codes = [-0.1, 0.5, 5, 9.5, 10.1].map((v, i) => quality.judge(at(i), v, v))
    expect(codes).toEqual(['under-range', 'out-of-range-uncertain', 'good', 'out-of-range-uncertain', 'over-range'])
  })
  it('calls identical raw values frozen only after the configured time', () => {
    const quality = new ChannelQuality(cell({ quality: { stuck_after_s: 2 } }))
    const codes = [0, 1000, 2000, 2001, 3000].map((ms) => quality.judge(at(ms), 12, 12))
    expect(codes).toEqual(['good', 'good', 'good', 'frozen', 'frozen'])
    expect(quality.judge(at(3100), 12.001, 12.001)).toBe('good')
  })
  it('counts a frozen value anew after a gap', () => {
    const quality = new ChannelQuality(cell({ quality: { stuck_after_s: 2 } }))
    quality.judge(at(0), 12, 12)
    quality.gap()
    expect(quality.judge(at(5000), 12, 12)).toBe('good')
  })
  it('never calls a steady speed or set tension frozen', () => {
    const speed = channelSchema.parse({ id: 'v', device: 'amp', measures: 'speed', scale: { unit: 'm/min' } })
    const quality = new ChannelQuality(speed)
    expect([0, 60_000, 600_000].map((ms) => quality.judge(at(ms), 200, 200))).toEqual(['good', 'good', 'good'])
  })
})

describe('quality codes on the stream', () => {
  it('come back from their byte', () => {
    for (const code of QUALITY_CODES) expect(qualityFromByte(qualityByte(code))).toBe(code)
  })
  it('read as bad when the byte is unknown to this version', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: QUALITY_CODES.length, max: 255 }),
        (byte) => qualityOf(qualityFromByte(byte)) === 'bad',
      ),
    )
  })
  it('keep their published bytes: a reorder would make old pages lie', () => {
    expect(QUALITY_CODES.slice(0, 8)).toEqual([
      'good',
      'saturated',
      'out-of-range-uncertain',
      'no-answer',
      'device-error',
      'stale',
      'wire-break',
      'short-circuit',
    ])
  })
})
