import type { ZoneParameters } from '../physics/zone.ts'
import { floatAmplifier } from '../servers/personalities.ts'
import { PAIR } from './cell.ts'
import { inTheHall } from './hall.ts'
import type { Scenario } from './scenario.ts'
import { degrees, gramMillimetres, millimetres } from './units.ts'

const LAMINATOR_OUTFEED = 'laminator-outfeed'

/**
 * 1.2 m of laminate at 200 N, wrapped 100°, freshly fitted: both arrows on the bisector, which leans 40° from vertical, so
 * that an arrow’s angle shows in the roller’s own weight.
 */
function laminatorOutfeed(): ZoneParameters {
  return {
    web: {
      width: 1.2,
      basisWeight: 0.09,
      stiffnessPerWidth: 180_000,
      offset: millimetres(5),
      pullOffset: millimetres(4),
      wander: millimetres(0.3),
      wanderTime: 8,
    },
    spanLength: 4,
    upstream: { tension: 150, wander: 0.9, wanderTime: 6, ripple: 0.8, rippleDiameter: 0.5 },
    drive: { proportional: 1, integral: 0.5, slackLength: millimetres(3) },
    path: {
      before: { name: 'before', centre: { x: -0.13, y: -0.6 }, radius: 0.06, turns: 'ccw' },
      measuring: { name: 'measuring', centre: { x: 0, y: 0 }, radius: 0.07, turns: 'cw' },
      after: { name: 'after', centre: { x: 0.545, y: -0.085 }, radius: 0.06, turns: 'cw' },
    },
    roller: {
      mass: 18,
      centreOfMass: millimetres(2),
      inertia: 0.06,
      dragTorque: 0.02,
      friction: 0.25,
      runout: { amplitude: 0.2, phase: 0.7 },
      unbalance: {
        drive_side: { massRadius: gramMillimetres(90), phase: 0.6 },
        operator_side: { massRadius: gramMillimetres(70), phase: 2.2 },
      },
    },
    cellDistance: 1.5,
    cells: {
      drive_side: {
        ...PAIR.drive_side,
        arrow: degrees(-50.3),
        capacity: 500,
        ratedOutput: 2.001,
        zeroBalance: 0.0055,
      },
      operator_side: {
        ...PAIR.operator_side,
        arrow: degrees(-49.5),
        capacity: 500,
        ratedOutput: 1.998,
        zeroBalance: -0.0081,
      },
    },
  }
}

/** A healthy install that has just been fitted and is still to be proven: the line stands, its web slack, and waits for a technician. */
export const install: Scenario = {
  id: 'install',
  title: 'a freshly fitted, healthy pair of cells on a line that stands: to be verified by hand, through acts',
  parameters: () => inTheHall({ [LAMINATOR_OUTFEED]: laminatorOutfeed() }),
  programme: {
    startSpeed: 0,
    setTension: { [LAMINATOR_OUTFEED]: 200 },
    stages: [{ seconds: 1, speed: 0, slack: true }],
    repeat: false,
  },
  devices: [{ id: 'amplifier', unitId: 1, zone: LAMINATOR_OUTFEED, personality: floatAmplifier(), port: 15_020 }],
  iio: { zone: LAMINATOR_OUTFEED, voltsPerSignal: 4, bits: 16, rangeVolts: 10 },
  configFile: new URL('./install.yaml', import.meta.url),
}
