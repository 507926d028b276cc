import { describe, expect, it } from 'vitest'
import { type RollerParameters, RollerSpin, unbalanceForce } from '../../simulator/physics/roller.ts'
import { length } from '../../simulator/physics/vector.ts'

const roller: RollerParameters = {
  mass: 14,
  centreOfMass: 0,
  inertia: 0.07,
  dragTorque: 0.03,
  friction: 0.25,
  runout: { amplitude: 0, phase: 0 },
  unbalance: { drive_side: { massRadius: 1e-4, phase: 0 }, operator_side: { massRadius: 1e-4, phase: 0 } },
}

describe('the turning roller', () => {
  it('follows the web exactly while the web brings the torque it asks for', () => {
    const spin = new RollerSpin(0)
    for (let i = 1; i <= 1000; i++) {
      const rate = i * 0.05
      spin.turn(roller, spin.torqueWanted(roller, rate, 0.001), 0.001)
      expect(spin.rate).toBeCloseTo(rate, 9)
    }
  })

  // Constant drag torque: ω falls by M t/J (Newton's second law for rotation). 0.03/0.07 per second.
  it('runs down under its drag alone and stops, never backwards', () => {
    const spin = new RollerSpin(50)
    for (let i = 0; i < 10_000; i++) spin.turn(roller, 0, 0.001)
    expect(spin.rate).toBeCloseTo(50 - (0.03 / 0.07) * 10, 3)
    for (let i = 0; i < 200_000; i++) spin.turn(roller, 0, 0.001)
    expect(spin.rate).toBeGreaterThanOrEqual(0)
    expect(spin.rate).toBeLessThan(0.01)
  })

  it('counts its own turns: 10 turns a second for one second', () => {
    const spin = new RollerSpin(20 * Math.PI)
    let turns = 0
    let before = 0
    for (let i = 0; i < 1005; i++) {
      spin.turn(roller, spin.drag(roller), 0.001)
      if (spin.angle < before) turns++
      before = spin.angle
    }
    expect(turns).toBe(10)
  })
})

describe('unbalance', () => {
  // Permissible unbalance 9549 G m/n g·mm (ISO 21940-11 relation, V2): G 6.3, 50 kg, 1000/min → 3008.03 g·mm.
  // Its centrifugal force by the grade's own meaning, G = e ω: m G ω = 50 kg × 6.3 mm/s × 104.72 rad/s = 32.99 N.
  it('a grade 6.3 roller throws what its grade says', () => {
    const force = unbalanceForce({ massRadius: 3008.028e-6, phase: 0 }, (2 * Math.PI * 1000) / 60, 0.7, 1)
    expect(length(force)).toBeCloseTo(32.99, 2)
  })

  it('grows with the square of the turn rate and turns with the roller', () => {
    const at = (rate: number, angle: number, sense: 1 | -1) =>
      unbalanceForce({ massRadius: 1e-3, phase: 0 }, rate, angle, sense)
    expect(length(at(40, 0, 1)) / length(at(20, 0, 1))).toBeCloseTo(4, 9)
    expect(at(10, Math.PI / 2, 1).y).toBeCloseTo(0.1, 9)
    expect(at(10, Math.PI / 2, -1).y).toBeCloseTo(-0.1, 9)
  })
})
