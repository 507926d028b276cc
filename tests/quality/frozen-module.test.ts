import { describe, expect, it } from 'vitest'
import { Pipeline } from '../../gateway/pipeline.ts'
import { planRequests } from '../../gateway/poller/plan.ts'
import { epochMs, monotonicMs } from '../../shared/brand.ts'
import type { ZoneFrame } from '../../shared/sample.ts'
import { configSchema } from '../../shared/schemas/config.ts'

const register = (address: number) => ({ unit_id: 1, function: 4 as const, address, type: 'int16' as const })
const cell = (id: string, address: number) => ({
  id,
  device: 'amp',
  register: register(address),
  force: { gain: 1, capacity: 40_000 },
  quality: { stuck_after_s: 2 },
})
const CONFIG = configSchema.parse({
  version: 1,
  devices: [{ id: 'amp', transport: 'modbus-tcp', host: '127.0.0.1', rate_hz: 10 }],
  channels: [
    cell('ds', 0),
    cell('os', 1),
    { id: 'v', device: 'amp', measures: 'speed', register: register(2), scale: { unit: 'm/min' } },
    { id: 'set', device: 'amp', measures: 'tension', register: register(3), scale: { unit: 'N' } },
  ],
  zones: [{ id: 'infeed', cells: { drive_side: 'ds', operator_side: 'os' }, speed: 'v', reference: 'set' }],
})

/** Answers of the one request at 10/s from `fromS` on; `words` tells the four registers of each. */
function line() {
  let nowMs = 0
  const frames: ZoneFrame[] = []
  const clock = { now: () => monotonicMs(nowMs), toEpoch: epochMs }
  const pipeline = new Pipeline(CONFIG, planRequests(CONFIG), clock, [{ frame: (_, frame) => frames.push(frame) }])
  const play = (seconds: number, words: (i: number) => readonly number[]) => {
    for (let i = 0; i < seconds * 10; i += 1) {
      nowMs += 100
      pipeline.accept({
        kind: 'answer',
        deviceId: 'amp',
        request: 0,
        tMs: monotonicMs(nowMs),
        halfWidthMs: 1,
        words: words(i),
      })
    }
  }
  const codes = () => ['ds', 'os', 'v', 'set'].map((id) => pipeline.channels.get(id)?.last?.code)
  return { play, codes, frames, now: () => pipeline.now()[0] }
}

describe('a module that stopped converting', () => {
  it('is frozen in every channel that has stood still as long as its load cells', () => {
    const { play, codes, frames, now } = line()
    play(5, (i) => [100 + (i % 3), 110 + (i % 2), 200, 90])
    expect(codes()).toEqual(['good', 'good', 'good', 'good'])
    play(3, () => [101, 111, 200, 90])
    expect(codes()).toEqual(['frozen', 'frozen', 'frozen', 'frozen'])
    const picture = now()
    expect(picture?.aux.speed).toMatchObject({ value: null, code: 'frozen' })
    expect(picture?.aux.reference).toMatchObject({ value: null, code: 'frozen' })
    expect(picture?.steady.state).not.toBe('steady')
    expect(frames.at(-1)?.sides.drive_side?.value, 'no number goes on').toBeNull()
  })
  it('leaves alone what still moves in the same answer', () => {
    const { play, codes } = line()
    play(5, (i) => [101, 111, 200 + (i % 2), 90])
    expect(codes()).toEqual(['frozen', 'frozen', 'good', 'frozen'])
  })
  it('is not given away by a set tension or a speed that stands still, nor by one cell of two', () => {
    const { play, codes } = line()
    play(60, (i) => [100 + (i % 2), 111, 200, 90])
    expect(codes()).toEqual(['good', 'frozen', 'good', 'good'])
  })
  it('heals with the first number that moves', () => {
    const { play, codes } = line()
    play(5, () => [101, 111, 200, 90])
    play(0.1, () => [102, 111, 200, 90])
    expect(codes()).toEqual(['good', 'frozen', 'good', 'good'])
  })
})
