import type { ZoneParameters } from '../physics/zone.ts'
import { floatAmplifier } from '../servers/personalities.ts'
import { PAIR } from './cell.ts'
import { inTheHall } from './hall.ts'
import { ordinaryShift } from './ordinary-shift.ts'
import type { Scenario } from './scenario.ts'
import { degrees, gramMillimetres, millimetres } from './units.ts'

const REWINDER_INFEED = 'rewinder-infeed'

/**
 * 1.6 m of paper at 1200 m/min: m v² takes 29 of 220 N off the roller. Its traps: a basis weight left out reads 13 % low at
 * speed and right when slow, the once-per-turn line stands near 32 Hz, and air may carry the web.
 */
function rewinderInfeed(): ZoneParameters {
  return {
    web: {
      width: 1.6,
      basisWeight: 0.045,
      stiffnessPerWidth: 240_000,
      offset: millimetres(10),
      pullOffset: millimetres(-6),
      wander: millimetres(0.4),
      wanderTime: 8,
    },
    spanLength: 5,
    upstream: { tension: 170, wander: 1.2, wanderTime: 6, ripple: 1, rippleDiameter: 0.9 },
    drive: { proportional: 1, integral: 0.5, slackLength: millimetres(3) },
    path: {
      before: { name: 'before', centre: { x: -0.475, y: -0.67 }, radius: 0.075, turns: 'ccw' },
      measuring: { name: 'measuring', centre: { x: 0, y: 0 }, radius: 0.1, turns: 'cw' },
      after: { name: 'after', centre: { x: 0.65, y: -0.33 }, radius: 0.1, turns: 'ccw' },
    },
    roller: {
      mass: 26,
      centreOfMass: millimetres(-3),
      inertia: 0.2,
      dragTorque: 0.05,
      friction: 0.3,
      runout: { amplitude: 0.3, phase: 0.7 },
      unbalance: {
        drive_side: { massRadius: gramMillimetres(30), phase: 0.6 },
        operator_side: { massRadius: gramMillimetres(22), phase: 2.2 },
      },
    },
    cellDistance: 1.9,
    cells: {
      drive_side: {
        ...PAIR.drive_side,
        arrow: degrees(-78.5),
        capacity: 750,
        ratedOutput: 2.002,
        zeroBalance: 0.0094,
      },
      operator_side: {
        ...PAIR.operator_side,
        arrow: degrees(-77.2),
        capacity: 750,
        ratedOutput: 1.999,
        zeroBalance: 0.0031,
      },
    },
  }
}

/** A fast line, on which momentum is not small. */
export const fastPaper: Scenario = {
  id: 'fast-paper',
  title: 'paper at up to 1200 m/min: the momentum term takes an eighth of the tension off the roller',
  parameters: () => inTheHall({ [REWINDER_INFEED]: rewinderInfeed() }),
  programme: ordinaryShift(REWINDER_INFEED, 1200, 220),
  devices: [{ id: 'amplifier', unitId: 1, zone: REWINDER_INFEED, personality: floatAmplifier(), port: 15_020 }],
  iio: { zone: REWINDER_INFEED, voltsPerSignal: 4, bits: 16, rangeVolts: 10 },
  configFile: new URL('./fast-paper.yaml', import.meta.url),
}
