import { describe, expect, it } from 'vitest'
import { atTheLine } from './at-the-line.ts'

/** Locked out, web off, nothing at the amplifier's own noise. */
function atTheCabinet() {
  const at = atTheLine()
  at.all('stop', 'lock-out', 'take-web-off')
  const outputs = () => {
    const { drive_side, operator_side } = at.state().cells
    return { ds: drive_side.output, os: operator_side.output }
  }
  const push = (side: string) => at.all('let-go', ['push-end', { side, newtons: 100 }])
  const reading = (act: string, args: object, figure: string) => {
    const { observation } = at.technician.do(act, { ...args })
    return observation?.readings.find((candidate) => candidate.figure === figure)
  }
  return { ...at, outputs, push, reading, before: outputs() }
}

describe('at the amplifier', () => {
  it('swapped cables show each cell on the other channel, and swapped back everything is as before', () => {
    const { all, push, outputs, before, reading } = atTheCabinet()
    all('swap-cables')
    expect(reading('look-at-wiring', { side: 'drive_side' }, 'wired-to')?.value).toBe('operator_side')
    const swapped = outputs()
    push('operator_side')
    // 100 N of 500 N at 1.998 mV/V times 0.9995, along an arrow within a degree of the pull.
    expect(outputs().ds - swapped.ds).toBeCloseTo(0.2 * 1.998 * 0.9995, 3)
    expect(outputs().os - swapped.os).toBeCloseTo(0, 4)
    all('let-go', 'swap-cables')
    expect(outputs().ds).toBeCloseTo(before.ds, 4)
    expect(outputs().os).toBeCloseTo(before.os, 4)
  })

  it('exchanged leads turn a push round on that channel alone, and tracing the cable finds them', () => {
    const { all, push, outputs, before, reading } = atTheCabinet()
    expect(reading('look-at-wiring', { side: 'drive_side' }, 'leads-as-drawn')?.value).toBe(true)
    all(['swap-leads', { side: 'drive_side' }])
    expect(reading('look-at-wiring', { side: 'drive_side' }, 'leads-as-drawn')?.value).toBe(false)
    expect(outputs().ds).toBeCloseTo(-before.ds, 4)
    push('drive_side')
    expect(outputs().ds).toBeLessThan(-before.ds - 0.3)
    expect(outputs().os).toBeCloseTo(before.os, 4)
  })

  it('a bridge simulator stands in the cell’s place, whatever the roller does, until it is taken off', () => {
    const { all, push, outputs, before } = atTheCabinet()
    all(['connect-simulator', { side: 'drive_side', mv_v: 1.5 }])
    push('drive_side')
    expect(outputs().ds).toBeCloseTo(1.5, 4)
    all('let-go', 'disconnect-instruments')
    expect(outputs().ds).toBeCloseTo(before.ds, 4)
  })

  // A 350 Ω bridge with 100 kΩ across one arm gives 0.873 mV/V, as shunt tables print it (from memory); our arm is 351 Ω.
  it('a shunt of 100 kΩ adds 0.876 mV/V to a bridge of 351 Ω', () => {
    const { outputs, before, reading } = atTheCabinet()
    const told = reading('connect-shunt', { side: 'operator_side', kilohm: 100 }, 'shunt-step')
    // By the divider itself: the arm in parallel with its shunt against an equal arm, less a half, in mV/V.
    const arm = 1 / (1 / 351 + 1 / 100_000)
    const byDivider = 1000 * Math.abs(arm / (arm + 351) - 0.5)
    expect(byDivider).toBeCloseTo(0.876, 3)
    expect(told?.value).toBeCloseTo(byDivider, 9)
    expect(outputs().os - before.os).toBeCloseTo(byDivider, 4)
    expect(outputs().ds - before.ds).toBeCloseTo(0, 4)
  })

  it('the amplifier’s knobs do what stands on them, and can be read', () => {
    const { all, outputs, before, reading } = atTheCabinet()
    all(['turn-knob', { side: 'drive_side', span_factor: 2, zero_mv_v: -0.1 }])
    expect(outputs().ds).toBeCloseTo(2 * before.ds - 0.1, 4)
    expect(reading('read-knobs', { side: 'drive_side' }, 'knob-span')).toMatchObject({ value: 2, u: 0 })
    all(['turn-knob', { side: 'drive_side', range_mv_v: 0.2 }])
    expect(outputs().ds).toBe(0.2)
    all(['replace-channel', { side: 'drive_side' }])
    expect(outputs().ds).toBeCloseTo(before.ds, 4)
  })

  it('a converter that stands repeats its last value, its counter stands, and the other runs on', () => {
    const { zone, push, outputs, before, technician } = atTheCabinet()
    zone().cells.drive_side.stuck = true
    push('drive_side')
    expect(outputs().ds).toBe(before.ds)
    expect(technician.do('look-at-counters').observation?.readings).toMatchObject([
      { side: 'drive_side', value: false },
      { side: 'operator_side', value: true },
    ])
  })

  it('an open bridge measures as an open circuit, never as a number', () => {
    const { zone, reading } = atTheCabinet()
    zone().cells.operator_side.open = true
    const read = reading('measure-bridge', { side: 'operator_side' }, 'output-resistance')
    expect(read).toMatchObject({ value: 'open circuit', unit: null, u: null })
  })
})
