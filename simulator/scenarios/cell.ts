import { type CellParameters, SOUND_WIRING } from '../physics/cell.ts'
import type { BothEnds } from '../physics/ends.ts'

/** What all cells of the scenarios have in common: a 2 mV/V cell on an amplifier with a 20 Hz filter. */
export const CELL = {
  referenceTemperature: 22,
  thermalTime: 1800,
  whiteNoise: 6e-5,
  flickerNoise: 2e-5,
  mainsPickup: 4e-4,
  filterHz: 20,
  filterDamping: Math.SQRT1_2,
  rangeLow: -3.2,
  rangeHigh: 3.2,
  adcStep: 1e-5,
  ...SOUND_WIRING,
} satisfies Partial<CellParameters>

/** Two cells of one make, each a little its own: the pair on several of the invented lines. */
export const PAIR = {
  drive_side: {
    ...CELL,
    gain: 1.0007,
    zeroPerKelvin: 0.8e-4,
    spanPerKelvin: 2e-5,
    warmerBy: 1.5,
    mainsPhase: 0.3,
  },
  operator_side: {
    ...CELL,
    gain: 0.9994,
    zeroPerKelvin: -0.5e-4,
    spanPerKelvin: 3e-5,
    warmerBy: 1,
    mainsPhase: 1.3,
  },
} satisfies BothEnds<Partial<CellParameters>>
