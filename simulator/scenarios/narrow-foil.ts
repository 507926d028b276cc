import type { ZoneParameters } from '../physics/zone.ts'
import { currentModule } from '../servers/personalities.ts'
import { PAIR } from './cell.ts'
import { inTheHall } from './hall.ts'
import { ordinaryShift } from './ordinary-shift.ts'
import type { Scenario } from './scenario.ts'
import { degrees, gramMillimetres, millimetres } from './units.ts'

const FOIL_PULL = 'foil-pull'

/**
 * 150 mm of metal foil at 900 N, wrapped 24° only. Its traps: a degree of wrap is 4 % of the force, the pull leans 62° from
 * vertical and so hides nearly all of the roller’s weight, and the stiff foil makes much tension of little draw.
 */
function foilPull(): ZoneParameters {
  return {
    web: {
      width: 0.15,
      basisWeight: 0.6,
      stiffnessPerWidth: 10_000_000,
      offset: millimetres(3),
      pullOffset: millimetres(1.5),
      wander: millimetres(0.05),
      wanderTime: 8,
    },
    spanLength: 2.2,
    upstream: { tension: 700, wander: 4, wanderTime: 6, ripple: 3, rippleDiameter: 0.4 },
    drive: { proportional: 1, integral: 0.5, slackLength: millimetres(3) },
    path: {
      before: { name: 'before', centre: { x: -0.22, y: -0.405 }, radius: 0.05, turns: 'ccw' },
      measuring: { name: 'measuring', centre: { x: 0, y: 0 }, radius: 0.05, turns: 'cw' },
      after: { name: 'after', centre: { x: 0.245, y: 0.445 }, radius: 0.05, turns: 'ccw' },
    },
    roller: {
      mass: 3.5,
      centreOfMass: millimetres(0),
      inertia: 0.005,
      dragTorque: 0.01,
      friction: 0.2,
      runout: { amplitude: 0.8, phase: 0.7 },
      unbalance: {
        drive_side: { massRadius: gramMillimetres(8), phase: 0.6 },
        operator_side: { massRadius: gramMillimetres(6), phase: 2.2 },
      },
    },
    cellDistance: 0.35,
    cells: {
      drive_side: {
        ...PAIR.drive_side,
        arrow: degrees(-27.6),
        capacity: 500,
        ratedOutput: 2,
        zeroBalance: 0.0048,
      },
      operator_side: {
        ...PAIR.operator_side,
        arrow: degrees(-28.5),
        capacity: 500,
        ratedOutput: 2,
        zeroBalance: -0.0036,
      },
    },
  }
}

/** A narrow web that pulls hard on a roller it hardly wraps. */
export const narrowFoil: Scenario = {
  id: 'narrow-foil',
  title: '150 mm of foil at high tension: 24 degrees of wrap, the bisector 62 degrees from vertical',
  parameters: () => inTheHall({ [FOIL_PULL]: foilPull() }),
  programme: ordinaryShift(FOIL_PULL, 60, 900),
  devices: [
    {
      id: 'module',
      unitId: 2,
      zone: FOIL_PULL,
      port: 15_020,
      personality: currentModule({
        cells: { drive_side: { at4: -0.4, at20: 1.6 }, operator_side: { at4: -0.4, at20: 1.6 } },
        speed: { at4: 0, at20: 100 },
        setTension: { at4: 0, at20: 1600 },
      }),
    },
  ],
  iio: { zone: FOIL_PULL, voltsPerSignal: 4, bits: 16, rangeVolts: 10 },
  configFile: new URL('./narrow-foil.yaml', import.meta.url),
}
