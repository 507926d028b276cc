import type { MachineParameters } from '../physics/machine.ts'
import type { ZoneParameters } from '../physics/zone.ts'
import type { DeviceSpec } from '../servers/field-device.ts'
import type { IioBoard } from '../servers/iio-tree.ts'
import { currentModule, floatAmplifier } from '../servers/personalities.ts'
import { CELL } from './cell.ts'
import { inTheHall } from './hall.ts'
import { degrees, gramMillimetres, millimetres } from './units.ts'

/**
 * An invented converting line with two measuring rollers. Every figure is made up to be
 * believable; none is of a real plant. Ids are those of the config file beside this one.
 */
export const COATER = 'coater-outfeed'
export const EDGE_STRIP = 'edge-strip'

/** 1.3 m of film on an idler of 150 mm, wrapped about 104°; both arrows set to the bisector within a degree. */
function coaterOutfeed(): ZoneParameters {
  return {
    web: {
      width: 1.3,
      basisWeight: 0.04,
      stiffnessPerWidth: 130_000,
      offset: millimetres(20),
      pullOffset: millimetres(8),
      wander: millimetres(0.3),
      wanderTime: 8,
    },
    spanLength: 4.5,
    upstream: { tension: 180, wander: 1.2, wanderTime: 6, ripple: 1.5, rippleDiameter: 0.7 },
    drive: { proportional: 1, integral: 0.5, slackLength: millimetres(3) },
    path: {
      before: { name: 'before', centre: { x: -0.62, y: -0.32 }, radius: 0.06, turns: 'ccw' },
      measuring: { name: 'measuring', centre: { x: 0, y: 0 }, radius: 0.075, turns: 'cw' },
      after: { name: 'after', centre: { x: 0.4, y: -0.52 }, radius: 0.075, turns: 'ccw' },
    },
    roller: {
      mass: 14,
      centreOfMass: millimetres(-5),
      inertia: 0.07,
      dragTorque: 0.03,
      friction: 0.25,
      runout: { amplitude: 0.3, phase: 0.9 },
      unbalance: {
        drive_side: { massRadius: gramMillimetres(180), phase: 0.4 },
        operator_side: { massRadius: gramMillimetres(130), phase: 2.9 },
      },
    },
    cellDistance: 1.6,
    cells: {
      drive_side: {
        ...CELL,
        arrow: degrees(-103),
        capacity: 500,
        ratedOutput: 2.003,
        zeroBalance: 0.0121,
        gain: 1.0008,
        zeroPerKelvin: 1.1e-4,
        spanPerKelvin: 2e-5,
        warmerBy: 2.5,
        mainsPhase: 0.2,
      },
      operator_side: {
        ...CELL,
        arrow: degrees(-104),
        capacity: 500,
        ratedOutput: 1.998,
        zeroBalance: -0.0074,
        gain: 0.9995,
        zeroPerKelvin: -0.6e-4,
        spanPerKelvin: 3e-5,
        warmerBy: 0.5,
        mainsPhase: 1.1,
      },
    },
  }
}

/** A strip of 320 mm under a small idler: the pull is upwards, against the roller's weight. */
function edgeStrip(): ZoneParameters {
  return {
    web: {
      width: 0.32,
      basisWeight: 0.04,
      stiffnessPerWidth: 130_000,
      offset: millimetres(-5),
      pullOffset: millimetres(1),
      wander: millimetres(0.08),
      wanderTime: 8,
    },
    spanLength: 2.4,
    upstream: { tension: 45, wander: 0.3, wanderTime: 4, ripple: 0.3, rippleDiameter: 0.3 },
    drive: { proportional: 1, integral: 0.5, slackLength: millimetres(3) },
    path: {
      before: { name: 'before', centre: { x: -0.3, y: 0.18 }, radius: 0.04, turns: 'cw' },
      measuring: { name: 'measuring', centre: { x: 0, y: 0 }, radius: 0.04, turns: 'ccw' },
      after: { name: 'after', centre: { x: 0.25, y: 0.24 }, radius: 0.04, turns: 'cw' },
    },
    roller: {
      mass: 2.2,
      centreOfMass: 0,
      inertia: 0.0024,
      dragTorque: 0.004,
      friction: 0.25,
      runout: { amplitude: 0.08, phase: 1.7 },
      unbalance: {
        drive_side: { massRadius: gramMillimetres(6), phase: 0 },
        operator_side: { massRadius: gramMillimetres(8), phase: 2 },
      },
    },
    cellDistance: 0.5,
    cells: {
      drive_side: {
        ...CELL,
        arrow: degrees(96.5),
        capacity: 100,
        ratedOutput: 2,
        zeroBalance: 0.0043,
        gain: 1.0005,
        zeroPerKelvin: 0.7e-4,
        spanPerKelvin: 2e-5,
        warmerBy: 1,
        mainsPhase: 0,
      },
      operator_side: {
        ...CELL,
        arrow: degrees(97),
        capacity: 100,
        ratedOutput: 2,
        zeroBalance: -0.0095,
        gain: 0.9992,
        zeroPerKelvin: 0.5e-4,
        spanPerKelvin: 2e-5,
        warmerBy: 0.5,
        mainsPhase: 0.8,
      },
    },
  }
}

export function exampleLine(): MachineParameters {
  return inTheHall({ [COATER]: coaterOutfeed(), [EDGE_STRIP]: edgeStrip() })
}

/** The two devices; `port` is where each listens on TCP unless the command line says otherwise. */
export const EXAMPLE_DEVICES: readonly DeviceSpec[] = [
  { id: 'amplifier', unitId: 1, zone: COATER, personality: floatAmplifier(), port: 15_020 },
  {
    id: 'module',
    unitId: 2,
    zone: EDGE_STRIP,
    port: 15_021,
    personality: currentModule({
      // The strip pulls up and the roller hangs down: 4 mA stands below the bare roller's signal.
      cells: { drive_side: { at4: -0.4, at20: 1.6 }, operator_side: { at4: -0.4, at20: 1.6 } },
      speed: { at4: 0, at20: 400 },
      setTension: { at4: 0, at20: 100 },
    }),
  },
]

/** What --iio shows: the coater's two cells on a 16-bit board of ±10 V at 4 V per mV/V. */
export const EXAMPLE_BOARD: IioBoard = { zone: COATER, voltsPerSignal: 4, bits: 16, rangeVolts: 10 }

export const EXAMPLE_CONFIG = new URL('./demo.yaml', import.meta.url)
