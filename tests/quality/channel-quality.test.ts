import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { ChannelQuality } from '../../lib/quality/channel-quality.ts'
import { monotonicMs } from '../../shared/brand.ts'
import { QUALITY_CODES, qualityByte, qualityFromByte, qualityOf } from '../../shared/quality.ts'
import { channel as channelSchema } from '../../shared/schemas/config/channel.ts'

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
  it('calls a force over 100 % of capacity uncertain and over 150 % bad, in either direction', () => {
    // 250 N per mV/V and 500 N: 2 mV/V are 100 %, 3 mV/V are 150 %, 4.7 mV/V are 235 %. Zero at 0.
    const quality = new ChannelQuality(cell({ electrical: { unit: 'mV/V' }, force: { gain: 250, capacity: 500 } }))
    const codes = [2, 2.001, 3, 3.001, 4.7, -2, -2.001, -3.001].map((v, i) => quality.judge(at(i), v, v))
    expect(codes).toEqual([
      'good',
      'over-capacity',
      'over-capacity',
      'over-range',
      'over-range',
      'good',
      'over-capacity',
      'over-range',
    ])
    expect(qualityOf('over-capacity')).toBe('uncertain')
  })
  it('knows capacity and gain in any force unit, and a full signal that is exactly the capacity is good', () => {
    const scale = { unit: 'kgf', zero: 4, gain: 51 / 16, capacity: 51 }
    const quality = new ChannelQuality(cell({ force: scale }))
    expect(quality.judge(at(0), 20, 20)).toBe('good')
    expect(quality.judge(at(1), 20.3, 20.3)).toBe('over-capacity')
    // In binary (20 − 0.042) · gain is 800.0000000000001 N.
    const rounded = new ChannelQuality(
      cell({ quality: { signal: 'none' }, force: { zero: 0.042, gain: 800 / (20 - 0.042), capacity: 800 } }),
    )
    expect(rounded.judge(at(0), 20, 20)).toBe('good')
  })
  it('holds no channel but a load cell to a capacity', () => {
    const speed = channelSchema.parse({ id: 'v', device: 'amp', measures: 'speed', scale: { unit: 'm/min' } })
    expect(new ChannelQuality(speed).judge(at(0), 1e6, 1e6)).toBe('good')
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
    expect(qualityByte('starting')).toBe(13)
    expect(qualityByte('over-capacity')).toBe(14)
  })
})
