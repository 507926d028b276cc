import { describe, expect, it } from 'vitest'
import type { Side } from '../../shared/sample.ts'
import type { Capture } from '../../shared/schemas/verification/capture.ts'
import type { TestValues } from '../../shared/schemas/verification.ts'
import { DEAD, figure, halfTurn, rightAngle, withSide } from './support/made-context.ts'
import { captured, judged } from './support/made-record.ts'

const context = halfTurn()
const SIDES = ['drive_side', 'operator_side'] as const
const each = (values: Readonly<Record<string, number>>): TestValues =>
  Object.fromEntries(SIDES.flatMap((side) => Object.entries(values).map(([id, value]) => [`${id}.${side}`, value])))

describe('with an instrument, against what it should be', () => {
  // Ohmmeter u 0.2 %, limit 1 %: 350 Ω by certificate.
  it.each([
    [352, 'inside'],
    [353, 'undecided'],
    [355.6, 'outside'],
  ])('a bridge of %f Ω instead of 350 is %s', (ohms, state) => {
    const result = judged(
      context,
      'electric.bridge',
      each({ in: ohms, out: 350, 'in-certificate': 350, 'out-certificate': 350 }),
    )
    expect(figure(result, 'input-resistance', 'drive_side').value).toBeCloseTo((100 * (ohms - 350)) / 350, 9)
    expect(figure(result, 'output-resistance', 'drive_side').value).toBe(0)
    expect(result.state).toBe(state)
  })

  // Meter u 5 % of its reading, at least 1000 MΩ.
  it.each([
    [1200, 'inside'],
    [1050, 'undecided'],
    [800, 'outside'],
  ])('insulation of %f MΩ is %s', (megohm, state) => {
    expect(judged(context, 'electric.insulation', each({ insulation: megohm })).state).toBe(state)
  })

  // Voltmeter u 0.1 % twice, limit 1 %.
  it.each([
    [9.95, 'inside'],
    [9.92, 'undecided'],
    [9.85, 'outside'],
  ])('%f V at the cell of 10 V set is %s', (volts, state) => {
    const values = { wires: '4', set: 10, ...each({ 'at-cell': volts }) }
    expect(judged(context, 'electric.excitation', values).state).toBe(state)
  })

  // Simulator u 0.1 %, limit 0.5 %; 250 N per mV/V.
  it.each([
    [1.002, 'inside'],
    [1.004, 'undecided'],
    [1.008, 'outside'],
  ])('a step of %f mV/V instead of 1 is %s', (step, state) => {
    const captures = SIDES.flatMap((side) => [
      captured(context, `without.${side}`, { [side]: { force: 0, u: 0.001 } }),
      captured(context, `with.${side}`, { [side]: { force: 250 * step, u: 0.001 } }),
    ])
    const result = judged(context, 'electric.shunt', each({ expected: 1 }), captures)
    expect(figure(result, 'shunt-error', 'operator_side').value).toBeCloseTo(100 * (step - 1), 6)
    expect(result.state).toBe(state)
  })

  it('nothing typed is not done, and a certificate of 0 is no certificate', () => {
    expect(judged(context, 'electric.bridge').state).toBe('not-done')
    const zero = each({ in: 350, out: 350, 'in-certificate': 0, 'out-certificate': 350 })
    expect(judged(context, 'electric.bridge', zero).state).toBe('unknown')
  })
})

/** Standing still at 0.2 N of noise: 0.1 % of the span of 200 N. */
const still = (noise = 0.2): Capture =>
  captured(
    context,
    'still',
    { drive_side: { force: 0, noise }, operator_side: { force: 0, noise } },
    {
      trace: { t: [], sides: {} },
    },
  )

describe('both channels standing still', () => {
  it.each([
    [0.2, 'inside'],
    [0.4, 'undecided'],
    [0.5, 'outside'],
  ])('noise of %f N against 0.2 %% of 200 N is %s', (noise, state) => {
    const result = judged(context, 'electric.channels', {}, [still(noise)])
    expect(figure(result, 'static-noise', 'drive_side').value).toBeCloseTo(noise / 2, 9)
    expect(result.state).toBe(state)
  })

  it('a side without good samples is not alive, and tells no noise', () => {
    const result = judged(context, 'electric.channels', {}, [withSide(still(), 'operator_side', DEAD)])
    expect(figure(result, 'alive', 'operator_side').answer).toBe('no')
    expect(figure(result, 'static-noise', 'operator_side').value).toBeNull()
    expect(result.state).toBe('outside')
  })

  it('the same number for ever may be a frozen channel: unknown, never quiet', () => {
    const frozen = withSide(still(), 'drive_side', { noise: 0, peakToPeak: 0, distinct: 1 })
    expect(judged(context, 'electric.channels', {}, [frozen])).toMatchObject({ state: 'unknown' })
  })

  it('at an end of the range is outside', () => {
    const result = judged(context, 'electric.channels', {}, [withSide(still(), 'drive_side', { atEnd: 0.01 })])
    expect(figure(result, 'in-band', 'drive_side').answer).toBe('no')
    expect(result.state).toBe('outside')
  })

  it('creeps by its slope: 0.6 N a minute is 0.3 % of 200 N', () => {
    const t = Array.from({ length: 61 }, (_, i) => i / 2)
    const capture = {
      ...still(),
      trace: { t, sides: { drive_side: t.map((s) => (0.6 * s) / 60), operator_side: t.map(() => 0) } },
    }
    const result = judged(context, 'electric.channels', {}, [capture])
    expect(figure(result, 'static-slope', 'drive_side').value).toBeCloseTo(0.3, 9)
    expect(figure(result, 'static-slope', 'drive_side').verdict.state).toBe('outside')
    expect(figure(result, 'static-slope', 'operator_side').verdict.state).toBe('inside')
  })

  /** The same samples over another time: 3000 in 33 s are 91 a second. */
  const lasting = (capture: Capture, seconds: number): Capture => ({
    ...capture,
    toMs: capture.fromMs + 1000 * seconds,
  })

  it('shows the mains by its line; where none stands out, 0 to within what the noise would hide', () => {
    const line = { side: 'drive_side', hertz: 41, amplitude: 0.7, u: 0.05, sources: ['mains: mains at 50 Hz'] }
    const result = judged(context, 'electric.channels', {}, [lasting({ ...still(), lines: [line] }, 33)])
    expect(figure(result, 'mains-amplitude', 'drive_side')).toMatchObject({ value: 0.7, u: 0.05 })
    // 2 σ √(ln(1000 n/2)/n): σ 0.2 N, n 3000 → 0.0276 N.
    const none = figure(result, 'mains-amplitude', 'operator_side')
    expect(none.value).toBe(0)
    expect(none.U).toBeCloseTo(2 * 0.2 * Math.sqrt(Math.log(1_500_000) / 3000), 4)
  })

  it.each([
    [30, 'Mains at 50 Hz would show so near 50'],
    [60, 'Mains at 50 Hz would show at about 0'],
    [25, 'Mains at 60 Hz would show so near 60'],
  ])('3000 samples in %d s cannot see the mains: no line is then no reading, and it says why', (seconds, why) => {
    const result = judged(context, 'electric.channels', {}, [lasting(still(), seconds)])
    const none = figure(result, 'mains-amplitude', 'operator_side')
    expect(none.value).toBeNull()
    expect(none.verdict.sentence).toContain(why)
  })

  it('five seconds show that a channel is dead, not that it is quiet', () => {
    const cut = (capture: Capture): Capture => ({ ...capture, toMs: capture.fromMs + 5000 })
    expect(judged(context, 'electric.channels', {}, [cut(still())])).toMatchObject({
      state: 'not-done',
      sentence: 'Not done: standing still lasted 5 s of the 20 s it takes.',
    })
    expect(judged(context, 'electric.channels', {}, [cut(withSide(still(), 'drive_side', DEAD))]).state).toBe('outside')
  })
})

type Moves = Readonly<Partial<Record<Side, number>>>
const push = (side: Side, moves: Moves): Capture =>
  captured(
    context,
    `push.${side}`,
    { drive_side: { force: 0 }, operator_side: { force: 0 } },
    {
      change: Object.fromEntries(
        SIDES.map((one) => [
          one,
          moves[one] === undefined ? null : { by: { value: moves[one], u: 0.1 }, atS: 2, riseS: 0.3 },
        ]),
      ),
    },
  )
const pushed = (drive: Moves, operator: Moves) =>
  judged(context, 'electric.push', {}, [push('drive_side', drive), push('operator_side', operator)])

describe('a push at each end, the way the web will pull', () => {
  it('right: its own channel rises on both sides', () => {
    const result = pushed({ drive_side: 60, operator_side: 15 }, { drive_side: 15, operator_side: 60 })
    expect(result.state).toBe('inside')
    expect(figure(result, 'push-share', 'drive_side').value).toBeCloseTo(80, 9)
  })

  it('a side that falls: look at its arrow, then at the wiring', () => {
    const result = pushed({ drive_side: 60, operator_side: 15 }, { drive_side: 15, operator_side: -60 })
    expect(figure(result, 'push-sign', 'operator_side').value).toBe(-1)
    expect(figure(result, 'push-mapped', 'operator_side').answer).toBe('yes')
    expect(result.state).toBe('outside')
    expect(result.hints[0]).toMatch(/look at that load arrow.*then|arrow.*Turned.*Right: two leads/)
  })

  it('the other channel moves: the sides are exchanged', () => {
    const result = pushed({ drive_side: 15, operator_side: 60 }, { drive_side: 60, operator_side: 15 })
    expect(SIDES.map((side) => figure(result, 'push-mapped', side).answer)).toEqual(['no', 'no'])
    expect(result.state).toBe('outside')
    expect(result.hints.join(' ')).toContain('exchanged')
  })

  it('nothing moved clearly, or both alike: unknown', () => {
    const right = { drive_side: 15, operator_side: 60 }
    expect(pushed({}, right).state).toBe('unknown')
    expect(pushed({ drive_side: 0.2 }, right).state).toBe('unknown')
    expect(pushed({ drive_side: 50, operator_side: 45 }, right).state).toBe('unknown')
  })

  it('a dead channel is no exchanged one', () => {
    const dead = withSide(push('drive_side', { operator_side: 15 }), 'drive_side', DEAD)
    const result = judged(context, 'electric.push', {}, [dead, push('operator_side', { operator_side: 60 })])
    expect(result.state).toBe('unknown')
    expect(result.figures.filter(({ answer }) => answer === 'no')).toEqual([])
  })

  it('one end alone is not done', () => {
    expect(judged(context, 'electric.push', {}, [push('drive_side', { drive_side: 60 })])).toMatchObject({
      state: 'not-done',
      sentence: 'Not done: missing: push operator side.',
    })
  })
})

/** Readings without roller and with it: `down` is the angle of each real arrow from straight down, towards upstream. */
function weighed(degrees: Readonly<Record<(typeof SIDES)[number], number>>, gain = 1) {
  const at = rightAngle()
  const force = (side: (typeof SIDES)[number]) => ({
    force: gain * 10 * 9.80665 * Math.cos((degrees[side] * Math.PI) / 180),
    u: 0.02,
  })
  const lifted = captured(at, 'no-load', { drive_side: { force: 3, u: 0.02 }, operator_side: { force: -2, u: 0.02 } })
  const set = captured(at, 'roller-on', {
    drive_side: { ...force('drive_side'), force: force('drive_side').force + 3 },
    operator_side: { ...force('operator_side'), force: force('operator_side').force - 2 },
  })
  return judged(at, 'electric.gravity', {}, [lifted, set])
}

describe('the bare roller against its weight, arrows 45° from vertical', () => {
  it('right: the arrow is found at its target with u from gain and mass, and the zero balance of the cell cancels', () => {
    const result = weighed({ drive_side: 45, operator_side: 45 })
    const arrow = figure(result, 'arrow-from-gravity', 'drive_side')
    expect(arrow.value).toBeCloseTo(0, 6)
    // At 45° tan is 1: u = √(0.5 %² + 1 %²) rad of the ratio, and the readings 0.028 N of 69.3 N.
    const rad = Math.hypot(0.005, 0.01, (0.02 * Math.SQRT2) / 69.343)
    expect(arrow.u).toBeCloseTo((rad * 180) / Math.PI, 3)
    expect(arrow.verdict.state).toBe('inside')
  })

  it('12° too far downstream on one side is found there, and there alone', () => {
    const result = weighed({ drive_side: 33, operator_side: 45 })
    expect(figure(result, 'arrow-from-gravity', 'drive_side').value).toBeCloseTo(12, 6)
    expect(figure(result, 'arrow-from-gravity', 'drive_side').verdict.state).toBe('outside')
    expect(figure(result, 'arrow-from-gravity', 'operator_side').verdict.state).toBe('inside')
  })

  it('tells how much of the weight is missing, in % of span: √2/2 × 200 N', () => {
    const result = weighed({ drive_side: 45, operator_side: 45 }, 0.9)
    const span = Math.SQRT1_2 * 200
    expect(figure(result, 'weight-component', 'drive_side').value).toBeCloseTo((-100 * 0.1 * 69.343) / span, 3)
    expect(figure(result, 'weight-component', 'drive_side').verdict.state).toBe('outside')
  })

  it('more than the roller weighs tells no angle', () => {
    const arrow = figure(weighed({ drive_side: 0, operator_side: 45 }, 1.2), 'arrow-from-gravity', 'drive_side')
    expect([arrow.value, arrow.verdict.state]).toEqual([null, 'unknown'])
  })

  it('arrows straight down: it cannot be found this way, and the test stands without it', () => {
    const force = { force: 5 * 9.80665, u: 0.02 }
    const none = captured(context, 'no-load', { drive_side: { force: 0 }, operator_side: { force: 0 } })
    const on = captured(context, 'roller-on', { drive_side: force, operator_side: force })
    const result = judged(context, 'electric.gravity', {}, [none, on])
    expect(figure(result, 'arrow-from-gravity', 'drive_side').verdict.sentence).toContain('cannot be found this way')
    expect(result.state).toBe('inside')
  })

  it('without the reading of the lifted roller it is not done: a zero taken later would hide the weight', () => {
    const at = rightAngle()
    const on = captured(at, 'roller-on', { drive_side: { force: 69 }, operator_side: { force: 69 } })
    expect(judged(at, 'electric.gravity', {}, [on]).state).toBe('not-done')
  })
})

describe('cables, drives, channels', () => {
  const wiggle = (more: Partial<Capture['sides']['single']>) =>
    judged(context, 'electric.wiggle', {}, [
      withSide(
        captured(context, 'wiggle', { drive_side: { force: 0 }, operator_side: { force: 0 } }),
        'drive_side',
        more ?? {},
      ),
    ])
  it('no spike and no bad stretch is inside; one is outside, and so is a side that is bad throughout', () => {
    expect(wiggle({}).state).toBe('inside')
    expect(wiggle({ spikes: 1 }).state).toBe('outside')
    expect(wiggle({ badStretches: 2, bad: 9 }).state).toBe('outside')
    expect(wiggle(DEAD).state).toBe('outside')
    expect(wiggle({ ...DEAD, samples: 0, bad: 0, badStretches: 0 }).state).toBe('unknown')
  })

  // u of a ratio of two σ from 3000 samples each: 1.8 %.
  it.each([
    [0.45, 'inside'],
    [0.6, 'undecided'],
    [0.66, 'outside'],
  ])('noise of %f N with the drive over 0.3 N without is %s', (noise, state) => {
    const noisy = (id: string, sigma: number) =>
      captured(context, id, { drive_side: { force: 0, noise: sigma }, operator_side: { force: 0, noise: 0.3 } })
    const result = judged(context, 'electric.drive-noise', {}, [noisy('drive-off', 0.3), noisy('drive-on', noise)])
    expect(figure(result, 'drive-noise-ratio', 'drive_side').value).toBeCloseTo(noise / 0.3, 9)
    expect(result.state).toBe(state)
  })

  it('an exchange of the cells says what the fault followed, and points at it', () => {
    expect(figure(judged(context, 'electric.cross-swap', { follows: 'cell' }), 'follows').value).toBe(1)
    expect(judged(context, 'electric.cross-swap', { follows: 'channel' }).hints.join(' ')).toContain('channel')
    expect(judged(context, 'electric.cross-swap', { follows: 'neither' }).state).toBe('inside')
    expect(judged(context, 'electric.cross-swap', { follows: 'perhaps' }).state).toBe('not-done')
  })
})
