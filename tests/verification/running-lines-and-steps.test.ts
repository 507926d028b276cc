import { describe, expect, it } from 'vitest'
import type { VerificationContext } from '../../lib/verification/context.ts'
import type { Capture } from '../../shared/schemas/verification/capture.ts'
import { DEAD, figure, halfTurn, withSide } from './support/made-context.ts'
import { both, context, type Forces, SIDES } from './support/made-points.ts'
import { captured, judged } from './support/made-record.ts'

const TURN = 1 / (Math.PI * 0.2)
function minute(speed: number, amplitudes: Partial<Forces>, more: Partial<Capture> = {}): Capture {
  const lines = Object.entries(amplitudes).map(([side, amplitude]) => ({
    side,
    hertz: speed * TURN,
    amplitude,
    u: 0.01,
    sources: ['turn: measuring roller'],
  }))
  const capture = captured(
    context,
    'line',
    { drive_side: { force: 100 }, operator_side: { force: 100 } },
    {
      speed: { value: speed, u: 0.001 },
      lines,
      ...more,
    },
  )
  return { ...capture, toMs: capture.fromMs + 60_000 }
}
const lines = (captures: readonly Capture[], at: VerificationContext = context) =>
  judged(at, 'running.lines', {}, captures)

describe('lines at two speeds', () => {
  it.each([
    [0.8, 2],
    [0.2, 0],
  ])('0.2 N at 5 m/s and %f N at 10 m/s grow with speed to the power of %i', (fast, power) => {
    const result = lines([minute(5, both(0.2)), minute(10, both(fast))])
    expect(figure(result, 'speed-exponent', 'drive_side').value).toBeCloseTo(power, 9)
    // u: √((0.01/0.2)² + (0.01/A)²)/ln 2
    expect(figure(result, 'speed-exponent', 'drive_side').u).toBeCloseTo(Math.hypot(0.05, 0.01 / fast) / Math.LN2, 9)
    expect(result.state).toBe('inside')
  })

  it.each([
    [0.97, 'inside'],
    [1, 'undecided'],
    [1.03, 'outside'],
  ])('once a turn %f %% of the side’s force is %s', (amplitude, state) => {
    expect(lines([minute(5, both(0.1)), minute(10, { drive_side: amplitude, operator_side: 0.1 })]).state).toBe(state)
  })

  it('a line at the mains is the mains’, even where the roller turns as fast', () => {
    const hum = (speed: number): Capture => {
      const capture = minute(speed, both(3))
      return { ...capture, lines: capture.lines.map((line) => ({ ...line, sources: ['mains: mains at 50 Hz'] })) }
    }
    const result = lines([hum(5), hum(10)])
    expect(figure(result, 'mains-amplitude', 'drive_side').value).toBe(3)
    expect(figure(result, 'once-per-turn', 'drive_side').value).toBe(0)
    expect(figure(result, 'once-per-turn', 'drive_side').U ?? 0).toBeGreaterThan(0)
  })

  it('one speed is not done; a dead side is unknown, not without lines', () => {
    expect(lines([minute(5, both(0.2))]).state).toBe('not-done')
    expect(lines([minute(5, both(0.2)), minute(5.2, both(0.2))]).state).toBe('not-done')
    const dead = withSide(minute(10, { drive_side: 0.2 }), 'operator_side', DEAD)
    expect(lines([minute(5, both(0.2)), dead]).state).toBe('unknown')
  })

  it.each([
    [1, 'inside'],
    [0.985, 'undecided'],
    [0.95, 'outside'],
  ])('a roller that turns at %f of v/(πD) is %s', (ratio, state) => {
    const at = halfTurn({ roller_speed: 'line-speed' })
    const turning = (speed: number) =>
      minute(speed, both(0.1), { rollerSpeed: { value: ratio * speed * TURN, u: 1e-4 } })
    const result = lines([turning(5), turning(10)], at)
    expect(figure(result, 'turn-rate-ratio').value).toBeCloseTo(ratio, 9)
    expect(result.state).toBe(state)
    expect(lines([minute(5, both(0.1)), minute(10, both(0.1))], at).state).toBe('unknown')
  })
})

function step(drive: number, operator: number, laterMs = 0, more: Partial<Capture> = {}): Capture {
  const change = (by: number, atS: number) => ({ by: { value: by, u: 0.1 }, atS, riseS: 0.5 })
  return captured(
    context,
    'step',
    { drive_side: { force: 100 }, operator_side: { force: 100 } },
    {
      change: { drive_side: change(drive, 5), operator_side: change(operator, 5 + laterMs / 1000) },
      ...more,
    },
  )
}
const stepped = (capture: Capture, at: VerificationContext = context) => judged(at, 'running.step', {}, [capture])

describe('a tension step', () => {
  it.each([
    [20, 'inside'],
    [22, 'undecided'],
    [23, 'outside'],
  ])('20 N on one side and %f N on the other are %s', (operator, state) => {
    const result = stepped(step(20, operator))
    expect(figure(result, 'gain-ratio').value).toBeCloseTo(100 * (operator / 20 - 1), 9)
    expect(result.state).toBe(state)
  })

  it('against one another is outside, whatever the size', () => {
    const result = stepped(step(20, -20))
    expect(figure(result, 'together').answer).toBe('no')
    expect(result.state).toBe('outside')
  })

  // 10 ms each, since samples come every 10 ms: U 28 ms, limit 50 ms.
  it.each([
    [15, 'inside'],
    [40, 'undecided'],
    [90, 'outside'],
  ])('%i ms behind is %s', (ms, state) => {
    expect(figure(stepped(step(20, 20, ms)), 'delay').value).toBeCloseTo(ms, 6)
    expect(stepped(step(20, 20, ms)).state).toBe(state)
  })

  it('samples ten to the second cannot tell a lag of 50 ms', () => {
    const slow = SIDES.reduce((capture, side) => withSide(capture, side, { samples: 300, good: 300 }), step(20, 20))
    expect(figure(stepped(slow), 'delay').verdict.state).toBe('undecided')
  })

  it('a web guided off centre moves the sides by its lever arms: that is no fault', () => {
    // e 40 mm of 1.6 m: (1 + 0.05)/(1 − 0.05)
    const at = halfTurn({ web_offset_m: 0.04 })
    expect(figure(stepped(step(19, 21), at), 'gain-ratio').value).toBeCloseTo(0, 9)
  })

  it('nothing seen on one side is unknown', () => {
    expect(stepped(step(20, 20, 0, { change: { drive_side: null, operator_side: null } })).state).toBe('unknown')
  })
})
