import { describe, expect, it } from 'vitest'
import { systemClock } from '../../gateway/clock.ts'
import { ChannelInput } from '../../gateway/recorder/channel-input.ts'
import { ClockWatch } from '../../gateway/recorder/clock-watch.ts'
import { monotonicMs } from '../../shared/brand.ts'

const HOUR = 3_600_000
const YEAR = 365 * 24 * HOUR

describe('the watch on the wall clock', () => {
  it('tells each step once, with its sign, and nothing while the clocks go on together', () => {
    const watch = new ClockWatch()
    const looks: (readonly [gateway: number, wall: number, step: number | null])[] = [
      [0, 0, null],
      [1000, 1003, null], // read one after the other
      [2000, 2000 - HOUR, -HOUR],
      [3000, 3000 - HOUR, null],
      [4000, 4000 + YEAR, HOUR + YEAR],
      [5000, 5000, -YEAR],
      [6000, 6000, null],
    ]
    for (const [gateway, wall, step] of looks) expect(watch.look(gateway, wall)).toBe(step)
    expect(watch.aheadMs).toBe(0)
  })

  it('is not deceived by many small differences that would add up', () => {
    const watch = new ClockWatch()
    let told = 0
    for (let i = 0; i <= 100; i++) told += watch.look(i * 1000, i * 1000 + i * 10) ?? 0
    expect(told).toBeGreaterThanOrEqual(750)
    expect(Math.abs(told - 1000)).toBeLessThan(250)
  })
})

describe('a clock that begins after the newest record', () => {
  it('goes on from there when the wall clock was set back, and follows it otherwise', () => {
    const ahead = Date.now() + YEAR
    const clock = systemClock(ahead)
    expect(clock.toEpoch(clock.now())).toBeGreaterThan(ahead)
    const usual = systemClock(Date.now() - HOUR)
    expect(Math.abs(usual.toEpoch(usual.now()) - Date.now())).toBeLessThan(10_000)
  })
})

describe('the times of one channel', () => {
  const sample = (raw: number) => ({
    tMs: monotonicMs(0),
    halfWidthMs: 0,
    raw,
    electrical: null,
    value: raw,
    code: 'good' as const,
  })

  it('only grow, each spacing kept, also when its source begins anew', () => {
    const input = new ChannelInput(99)
    for (const [i, tick] of [100, 110, 120, 50, 60, 75, 200].entries()) input.push(tick, sample(i))
    const { ticks, raws } = input.buffer.take()
    expect([...ticks]).toEqual([100, 110, 120, 121, 131, 146, 271])
    expect([...raws]).toEqual([0, 1, 2, 3, 4, 5, 6])
  })

  it('says of two clocks that were read one after the other not that one was set', () => {
    const watch = new ClockWatch()
    watch.look(1000.5, 1000)
    expect(watch.aheadMs).toBe(0)
    watch.look(5000, 1000)
    expect(watch.aheadMs).toBe(4000)
  })
})
