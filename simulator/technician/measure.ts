import type { RandomStream } from '../physics/random.ts'
import type { Reading } from './act.ts'
import type { Side } from './bench.ts'

/** An instrument in hand: how well it is read (1 σ), and the step of its scale. */
export interface Instrument {
  readonly unit: string
  /** Standard uncertainty of one reading beside its step: fixed, in its unit, and as a share of the value. */
  readonly fixed: number
  readonly share: number
  readonly step: number
}

/** What is in the technician's bag. Figures are those of ordinary shop instruments (common practice). */
export const INSTRUMENTS = {
  inclinometer: { unit: '°', fixed: 0.2, share: 0, step: 0.1 },
  feelerGauge: { unit: 'mm', fixed: 0.03, share: 0, step: 0.05 },
  dialIndicator: { unit: 'mm', fixed: 0.005, share: 0, step: 0.01 },
  frameLevel: { unit: 'mm/m', fixed: 0.02, share: 0, step: 0.02 },
  stopwatch: { unit: 's', fixed: 0.3, share: 0, step: 0.1 },
  ohmmeter: { unit: 'Ω', fixed: 0.1, share: 0.001, step: 0.1 },
  voltmeter: { unit: 'V', fixed: 0.002, share: 0.0005, step: 0.001 },
  insulationTester: { unit: 'MΩ', fixed: 0, share: 0.05, step: 0.1 },
  springScale: { unit: 'N', fixed: 1, share: 0.02, step: 1 },
  tapeMeasure: { unit: 'mm', fixed: 0.5, share: 0, step: 1 },
} as const satisfies Record<string, Instrument>

/** Standard uncertainty of one reading of `value`: the instrument's, with its step as a rectangle (JCGM 100, F.2.2.1). */
function uncertaintyOf({ fixed, share, step }: Instrument, value: number): number {
  return Math.hypot(fixed, share * value, step / Math.sqrt(12))
}

/** One reading of the true `value`, in the instrument's unit: with its error, rounded to its step. */
export function measured(
  figure: string,
  value: number,
  instrument: Instrument,
  random: RandomStream,
  side?: Side,
): Reading {
  const error = Math.hypot(instrument.fixed, instrument.share * value) * random.gaussian()
  const shown = Number((Math.round((value + error) / instrument.step) * instrument.step).toFixed(6))
  const u = uncertaintyOf(instrument, shown)
  return { figure, ...(side === undefined ? {} : { side }), value: shown, unit: instrument.unit, u }
}

/** Something seen, not measured. */
export function seen(figure: string, value: boolean | string, side?: Side): Reading {
  return { figure, ...(side === undefined ? {} : { side }), value, unit: null, u: null }
}

/** A reading as a technician says it: "1.95 ± 0.07 mm (k = 2)". */
export function spoken({ value, unit, u }: Reading): string {
  if (typeof value !== 'number' || u === null) return String(value)
  const digits = Math.max(0, 1 - Math.floor(Math.log10(2 * u)))
  return `${value.toFixed(digits)} ± ${(2 * u).toFixed(digits)} ${unit ?? ''} (k = 2)`.trim()
}
