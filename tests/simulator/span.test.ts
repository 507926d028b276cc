import { describe, expect, it } from 'vitest'
import { TensionDrive } from '../../simulator/physics/drive.ts'
import { stepSpan } from '../../simulator/physics/span.ts'

const DT = 0.001

describe('one span between two drives', () => {
  const span = { stiffness: 3200, length: 1.5 }

  function tensionAfter(seconds: number): number {
    let tension = 40
    const steps = 1000
    for (let i = 0; i < steps; i++) tension = stepSpan(span, 2, 2.002, 40, tension, seconds / steps)
    return tension
  }

  // EA 3200 N, L 1.5 m, 2.0 → 2.002 m/s, T₁ 40 N, small-strain form: solved with scipy.integrate.solve_ivp (C).
  it.each([
    [0.18731268731268733, 40.69829123426084],
    [0.37462537462537465, 41.24212099431363],
    [0.7492507492507493, 41.995505460440995],
    [1.4985014985014986, 42.72961089408034],
    [3.7462537462537466, 43.13557251495908],
  ])('%f s after the step: %f N', (seconds, newtons) => {
    expect(tensionAfter(seconds)).toBeCloseTo(newtons, 6)
  })

  it('settles where the drives leave it: 43.157 N', () => {
    expect(tensionAfter(60)).toBeCloseTo(43.15684315684281, 6)
  })

  // Span response dT₂/dv₂ = (EA − T₂)/v₂ / (1 + jω L/v₂): DC/√2 at ω = v₂/L (C, from the linearised equation).
  it('a ripple of the second drive at ω = v/L comes through at DC/√2', () => {
    const v = 2
    const omega = v / span.length
    const dc = (3200 - 40) / v
    let tension = 40
    let top = 0
    const period = (2 * Math.PI) / omega
    for (let t = 0; t < 12 * period; t += DT) {
      tension = stepSpan(span, v, v + 1e-5 * Math.sin(omega * t), 40, tension, DT)
      if (t > 10 * period) top = Math.max(top, Math.abs(tension - 40))
    }
    expect(top).toBeCloseTo((dc * 1e-5) / Math.SQRT2, 4)
  })
})

describe('the drive that holds a set tension', () => {
  const span = { stiffness: 169_000, length: 4.5 }
  const parameters = { proportional: 1, integral: 0.5, slackLength: 0.003 }

  function hold(v1: number, set: (t: number) => number, seconds: number, start: number, before = 180) {
    const drive = new TensionDrive(parameters, span, before, start)
    let tension = start
    const track: number[] = []
    for (let i = 0; i * DT < seconds; i++) {
      const v2 = drive.speed(span, v1, set(i * DT), tension, DT)
      tension = stepSpan(span, v1, v2, before, tension, DT)
      track.push(tension)
    }
    return track
  }

  it('starts in the steady state and stays there', () => {
    const track = hold(4, () => 250, 20, 250)
    expect(Math.min(...track)).toBeCloseTo(250, 6)
    expect(Math.max(...track)).toBeCloseTo(250, 6)
  })

  it('an operator step is reached within ten seconds without overshooting by a tenth of it', () => {
    const track = hold(4, () => 260, 30, 250)
    expect(track.slice(10_000).every((tension) => Math.abs(tension - 260) < 0.5)).toBe(true)
    expect(Math.max(...track)).toBeLessThan(261)
  })

  it('a standing web is pulled to its set tension and keeps it', () => {
    expect(hold(0, () => 120, 20, 0, 0).at(-1)).toBeCloseTo(120, 3)
  })
})
