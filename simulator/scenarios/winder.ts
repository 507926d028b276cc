import type { ZoneParameters } from '../physics/zone.ts'
import { winderAmplifier } from '../servers/personalities.ts'
import { CELL } from './cell.ts'
import { inTheHall } from './hall.ts'
import type { Scenario } from './scenario.ts'
import { degrees, gramMillimetres, millimetres } from './units.ts'

export const WINDER = 'winder'

/**
 * 1.2 m of board on its way to a winder; the web passes over three rollers that all turn one way. Laid out so that
 * core and full roll can be checked by hand: the web arrives along (0.8, 0.6), leaves along (0.6, -0.8) to the core
 * of 160 mm, which has the measuring roller's own radius, and along (0.96, -0.28) to the full roll of 1120 mm. The
 * wrap falls from 90° to 53.13°, and what an arrow that points straight down feels from 1.4 to 0.88 of the tension.
 */
function lastIdler(): ZoneParameters {
  return {
    web: {
      width: 1.2,
      basisWeight: 0.24,
      stiffnessPerWidth: 900_000,
      offset: 0,
      pullOffset: millimetres(6),
      wander: millimetres(0.5),
      wanderTime: 8,
    },
    spanLength: 6,
    upstream: { tension: 320, wander: 2, wanderTime: 6, ripple: 2, rippleDiameter: 0.5 },
    drive: { proportional: 1, integral: 0.5, slackLength: millimetres(3) },
    path: {
      before: { name: 'before', centre: { x: -0.8, y: -0.6 }, radius: 0.08, turns: 'cw' },
      measuring: { name: 'measuring', centre: { x: 0, y: 0 }, radius: 0.08, turns: 'cw' },
      after: { name: 'winding roll', centre: { x: 0.48, y: -0.64 }, radius: 0.08, turns: 'cw' },
    },
    winding: { coreRadius: 0.08, fullRadius: 0.56, thickness: millimetres(0.3) },
    roller: {
      mass: 14,
      centreOfMass: 0,
      inertia: 0.08,
      dragTorque: 0.03,
      friction: 0.25,
      runout: { amplitude: 0.4, phase: 0.4 },
      unbalance: {
        drive_side: { massRadius: gramMillimetres(150), phase: 1.1 },
        operator_side: { massRadius: gramMillimetres(160), phase: 0.3 },
      },
    },
    cellDistance: 1.5,
    cells: {
      drive_side: {
        ...CELL,
        arrow: degrees(-90),
        capacity: 500,
        ratedOutput: 2,
        zeroBalance: 0.0085,
        gain: 1.0006,
        zeroPerKelvin: 0.5e-4,
        spanPerKelvin: 2e-5,
        warmerBy: 1,
        mainsPhase: 0.5,
      },
      operator_side: {
        ...CELL,
        arrow: degrees(-90),
        capacity: 500,
        ratedOutput: 2,
        zeroBalance: -0.0032,
        gain: 0.9994,
        zeroPerKelvin: -0.4e-4,
        spanPerKelvin: 2e-5,
        warmerBy: 1,
        mainsPhase: 1.4,
      },
    },
  }
}

/** Board runs on to a roll that grows beside the measuring roller: 3217 m from core to full, 13 minutes at 240 m/min. */
export const winder: Scenario = {
  id: 'winder',
  title: 'the last roller before a winder: the roll beside it grows from core to full, and the wrap falls with it',
  parameters: () => inTheHall({ [WINDER]: lastIdler() }),
  programme: { startSpeed: 4, setTension: { [WINDER]: 320 }, stages: [], repeat: false },
  devices: [{ id: 'amplifier', unitId: 1, zone: WINDER, personality: winderAmplifier(), port: 15_020 }],
  iio: { zone: WINDER, voltsPerSignal: 4, bits: 16, rangeVolts: 10 },
  configFile: new URL('./winder.yaml', import.meta.url),
}
