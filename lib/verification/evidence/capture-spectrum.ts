import type { ZoneSpectrum } from '../../../shared/schemas/spectrum.ts'
import type { ZoneRows } from '../../spectrum/signals.ts'
import { zoneSpectrum } from '../../spectrum/zone-spectrum.ts'
import type { VerificationContext } from '../context.ts'
import type { CapturedRows } from './rows.ts'

/** From this long on a capture has a spectrum, s. */
export const SPECTRUM_FROM_S = 15

/** The spectrum of a capture's rows up to `toMs`, epoch ms, in steps: whoever calls it says how they are run. */
export function captureSpectrum(
  { zone, channels }: Pick<VerificationContext, 'zone' | 'channels'>,
  { columns, timesMs, values, codes }: CapturedRows,
  { rateHz, seconds, toMs }: { readonly rateHz: number; readonly seconds: number; readonly toMs: number },
): Generator<undefined, ZoneSpectrum> {
  const rows: ZoneRows = {
    columns: columns as ZoneRows['columns'],
    timesMs,
    values: values.map((column) => Float32Array.from(column)),
    qualities: codes,
  }
  return zoneSpectrum({ zone, channels, rateHz, rows, seconds, nowMs: toMs, skewMs: null })
}
