import { type CellParameters, SOUND_WIRING } from '../physics/cell.ts'

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
