import type { ZoneParameters } from '../physics/zone.ts'
import { floatAmplifier } from '../servers/personalities.ts'
import { PAIR } from './cell.ts'
import { inTheHall } from './hall.ts'
import { ordinaryShift } from './ordinary-shift.ts'
import type { Scenario } from './scenario.ts'
import { degrees, gramMillimetres, millimetres } from './units.ts'

const SLITTER_INFEED = 'slitter-infeed'

/**
 * 3 m of thin film at 16 to 40 N a metre over a heavy roller. Its traps: the cells are far too large for the tension, the
 * roller weighs more along the arrows than the web pulls, and the bisector leans 38° from vertical.
 */
function slitterInfeed(): ZoneParameters {
  return {
    web: {
      width: 3,
      basisWeight: 0.0168,
      stiffnessPerWidth: 48_000,
      offset: millimetres(-15),
      pullOffset: millimetres(10),
      wander: millimetres(0.6),
      wanderTime: 8,
    },
    spanLength: 5.5,
    upstream: { tension: 60, wander: 0.4, wanderTime: 6, ripple: 0.3, rippleDiameter: 0.6 },
    drive: { proportional: 1, integral: 0.5, slackLength: millimetres(3) },
    path: {
      before: { name: 'before', centre: { x: -0.69, y: 0.175 }, radius: 0.06, turns: 'ccw' },
      measuring: { name: 'measuring', centre: { x: 0, y: 0 }, radius: 0.08, turns: 'cw' },
      after: { name: 'after', centre: { x: 0.295, y: -0.485 }, radius: 0.06, turns: 'ccw' },
    },
    roller: {
      mass: 38,
      centreOfMass: millimetres(4),
      inertia: 0.16,
      dragTorque: 0.03,
      friction: 0.25,
      runout: { amplitude: 0.15, phase: 0.7 },
      unbalance: {
        drive_side: { massRadius: gramMillimetres(120), phase: 0.6 },
        operator_side: { massRadius: gramMillimetres(90), phase: 2.2 },
      },
    },
    cellDistance: 3.4,
    cells: {
      drive_side: {
        ...PAIR.drive_side,
        arrow: degrees(-128.4),
        capacity: 750,
        ratedOutput: 2.001,
        zeroBalance: 0.0062,
      },
      operator_side: {
        ...PAIR.operator_side,
        arrow: degrees(-127.6),
        capacity: 750,
        ratedOutput: 1.997,
        zeroBalance: -0.0105,
      },
    },
  }
}

/** A wide web that pulls little, under a roller that weighs much. */
export const wideFilm: Scenario = {
  id: 'wide-film',
  title: '3 m of thin film at low tension: oversize cells, a heavy roller, the bisector 38 degrees from vertical',
  parameters: () => inTheHall({ [SLITTER_INFEED]: slitterInfeed() }),
  programme: ordinaryShift(SLITTER_INFEED, 240, 80),
  devices: [{ id: 'amplifier', unitId: 1, zone: SLITTER_INFEED, personality: floatAmplifier(), port: 15_020 }],
  iio: { zone: SLITTER_INFEED, voltsPerSignal: 4, bits: 16, rangeVolts: 10 },
  configFile: new URL('./wide-film.yaml', import.meta.url),
}
