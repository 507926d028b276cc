import { describe, expect, it } from 'vitest'
import type { ZoneInput } from '../geometry/configured.ts'
import { HALF_TURN } from '../geometry/configured.ts'
import { bareZone, figure, halfTurn } from './support/made-context.ts'
import { judged } from './support/made-record.ts'

const context = halfTurn()
const output = (zeroedOn: 'unloaded cell' | 'bare roller') => {
  const loop = { kind: '4-20mA' as const, full_scale_n: 500, zeroed_on: zeroedOn }
  return { drive_side: loop, operator_side: loop }
}
const withGeometry = (geometry: Partial<NonNullable<ZoneInput['geometry']>>) =>
  halfTurn({ geometry: { ...HALF_TURN, ...geometry } })

describe('what is on paper', () => {
  it('a zone without geometry has nothing to be held against: not done, with where to draw it', () => {
    expect(judged(bareZone(), 'paper.geometry')).toMatchObject({ state: 'not-done' })
    expect(judged(bareZone(), 'paper.capacity').sentence).toContain('does not apply')
  })

  it('a web that cannot run as drawn is outside, and names the rollers', () => {
    const rollers = {
      ...HALF_TURN.rollers,
      after: [{ name: 'pull roller', x_mm: 50, y_mm: 0, diameter_mm: 200, turn: 'counter-clockwise' as const }],
    }
    const result = judged(withGeometry({ rollers }), 'paper.geometry')
    expect(result.state).toBe('outside')
    expect(result.hints.join(' ')).toContain('pull roller')
  })

  it('channels of speed and set tension are good to have, not a fault to lack', () => {
    const described = { ...HALF_TURN, output: output('bare roller') }
    const bare = halfTurn({ geometry: described, speed: undefined, reference: undefined })
    expect(figure(judged(bare, 'paper.geometry'), 'speed-channel').answer).toBe('no')
    expect(judged(bare, 'paper.geometry').state).toBe('inside')
  })

  it('the largest load of a 500 N cell, by statics: overload on the shifted side and the roller’s weight', () => {
    // 200 N × 1.5 of overload × share of a web that pulls 80 mm off, (½ + 0.05), × 2, and half of 10 kg.
    const result = judged(withGeometry({ tension: { ...HALF_TURN.tension, overload_factor: 1.5 } }), 'paper.capacity')
    const most = figure(result, 'largest-load', 'operator_side')
    expect(most.value).toBeCloseTo((100 * (200 * 1.5 * 2 * 0.55 + 5 * 9.80665)) / 500, 1)
    expect(most.verdict.state).toBe('inside')
    const double = judged(withGeometry({ tension: { ...HALF_TURN.tension, overload_factor: 2.5 } }), 'paper.capacity')
    expect(double.state).toBe('outside')
  })

  it('the live zero: on an unloaded cell 49 N of 500 N are 1.57 mA over 4, on the bare roller none', () => {
    const zero = (on: 'unloaded cell' | 'bare roller') =>
      figure(judged(withGeometry({ output: output(on) }), 'paper.live-zero'), 'live-zero', 'drive_side')
    expect(zero('unloaded cell').value).toBeCloseTo(4 + (16 * 5 * 9.80665) / 500, 6)
    expect(zero('bare roller').value).toBeCloseTo(4, 9)
  })

  it('a live zero under its range is outside: a heavy roller on arrows that point up', () => {
    const up = withGeometry({
      output: output('unloaded cell'),
      arrows_deg: { drive_side: 90, operator_side: 90 },
      target: { kind: 'mount-axis', deg: 90 },
    })
    const zero = figure(judged(up, 'paper.live-zero'), 'live-zero', 'drive_side')
    expect(zero.value).toBeCloseTo(4 - (16 * 5 * 9.80665) / 500, 6)
    expect(zero.verdict.state).toBe('outside')
  })

  it('the growth margin is that of the shaft against the clearance of one end: carbon steel, 1.6 m, 40 K', () => {
    const fit = {
      clearance_mm: 2,
      shaft_expansion_per_k: 10.8e-6,
      frame_expansion_per_k: 10.8e-6,
      shaft_warming_k: 40,
      frame_warming_k: 0,
    }
    const margin = (clearance_mm: number) =>
      figure(judged(withGeometry({ fit: { ...fit, clearance_mm } }), 'paper.growth'), 'growth-margin')
    expect(margin(2).value).toBeCloseTo(2 - 1600 * 10.8e-6 * 40, 9)
    expect([margin(2), margin(0.75), margin(0.4)].map(({ verdict }) => verdict.state)).toEqual([
      'inside',
      'undecided',
      'outside',
    ])
    expect(judged(context, 'paper.growth').state).toBe('not-done')
  })

  it('numbers that arrive as floats have no step to judge', () => {
    expect(judged(context, 'paper.resolution').sentence).toContain('does not apply')
  })

  it('the target is told in words that do not mirror', () => {
    expect(judged(context, 'paper.arrow-target').sentence).toContain('vertical, pointing down')
  })
})
