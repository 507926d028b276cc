import { performance } from 'node:perf_hooks'
import type { ZoneRows } from '../../lib/spectrum/signals.ts'
import { zoneSpectrum } from '../../lib/spectrum/zone-spectrum.ts'
import { zone as zoneSchema } from '../../shared/schemas/config/zone.ts'
import { madeSignal } from '../spectrum/made-signals.ts'
import type { Measured } from './bench.ts'

const SAMPLES = 60_000
const ROUNDS = 6
const zone = zoneSchema.parse({ id: 'z', cells: { drive_side: 'a', operator_side: 'b' }, speed: 'v' })

function rows(missing: number): ZoneRows {
  const { times, values } = madeSignal({
    samples: SAMPLES,
    rateHz: 100,
    tones: [{ amplitude: 1, hz: 8.488 }],
    sigma: 0.1,
    missing,
  })
  const column = Float32Array.from(values)
  return {
    columns: ['drive_side', 'operator_side', 'speed'],
    timesMs: times.map((t) => 1000 * t),
    values: [column, column, new Float32Array(column.length).fill(4)],
    qualities: [0, 1, 2].map(() => new Uint8Array(column.length)),
  }
}

/** Total and longest single step of one whole spectrum, ms: the best round of a few. */
function stepsOf(made: ZoneRows): { total: number; longest: number } {
  let best = { total: Number.POSITIVE_INFINITY, longest: Number.POSITIVE_INFINITY }
  for (let round = 0; round < ROUNDS; round++) {
    const nowMs = made.timesMs.at(-1) ?? 0
    const inputs = { zone, channels: new Map(), rateHz: 100, rows: made, seconds: 600, nowMs, skewMs: 0 }
    const steps = zoneSpectrum(inputs)
    let [total, longest, isDone] = [0, 0, false]
    while (!isDone) {
      const begin = performance.now()
      isDone = steps.next().done === true
      const took = performance.now() - begin
      total += took
      longest = Math.max(longest, took)
    }
    if (longest < best.longest) best = { total, longest }
  }
  return best
}

export async function run(): Promise<Measured[]> {
  return [0, 0.01].flatMap((missing) => {
    const { total, longest } = stepsOf(rows(missing))
    const which = missing === 0 ? 'Welch' : 'Lomb–Scargle, 1 % missing'
    const note = `2 × ${SAMPLES} samples, both sides, sum and difference; best of ${ROUNDS}`
    return [
      { name: `spectrum of a zone, ${which}: whole`, value: total, unit: 'ms', note },
      { name: `spectrum of a zone, ${which}: longest step`, value: longest, unit: 'ms', note: 'target < 20' },
    ]
  })
}
