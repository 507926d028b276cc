/** A sine in a record: amplitude (half its peak to peak) in the record's unit, rate in Hz, each with its standard uncertainty. */
export interface Line {
  readonly hz: number
  readonly uHz: number
  readonly amplitude: number
  readonly uAmplitude: number
  /** Higher than noise alone would be expected to. */
  readonly stands: boolean
}

/** Rates tried for each that the record's length can tell apart. */
const TRIES_A_BIN = 4
/** A line stands when it is this many times the middle of what is beside it (common practice, no source). */
const STANDS_FROM = 4
/** Under this share of the record's mean there is nothing but rounding. */
const ROUNDING = 1e-12

/** The strongest line between two rates, Hz: the record with a Hann window against sines (Goertzel 1958). */
export function strongestLine(values: readonly number[], rateHz: number, low: number, high: number): Line {
  const n = values.length
  const bin = rateHz / n
  const mean = values.reduce((sum, value) => sum + value, 0) / n
  const tries = Math.max(1, Math.ceil(((high - low) / bin) * TRIES_A_BIN))
  const amplitudeAt = (hz: number) => windowed(values, mean, hz / rateHz)
  let hz = low
  let amplitude = 0
  for (let i = 0; i <= tries; i++) {
    const at = low + ((high - low) * i) / tries
    const found = amplitudeAt(at)
    if (found > amplitude) {
      amplitude = found
      hz = at
    }
  }
  // Beside the line, where its own window no longer reaches.
  const beside = [-9, -7, -5, 5, 7, 9].map((bins) => hz + bins * bin).filter((at) => at > bin && at < rateHz / 2)
  const floor = median(beside.map(amplitudeAt))
  return {
    hz,
    uHz: bin / TRIES_A_BIN,
    amplitude,
    uAmplitude: Math.max(floor, 0.03 * amplitude),
    stands: amplitude > Math.max(STANDS_FROM * floor, ROUNDING * Math.abs(mean)),
  }
}

function windowed(values: readonly number[], mean: number, turns: number): number {
  const n = values.length
  let re = 0
  let im = 0
  values.forEach((value, i) => {
    const weight = 1 - Math.cos((2 * Math.PI * (i + 0.5)) / n)
    re += weight * (value - mean) * Math.cos(2 * Math.PI * turns * i)
    im += weight * (value - mean) * Math.sin(2 * Math.PI * turns * i)
  })
  return (2 * Math.hypot(re, im)) / n
}

function median(values: readonly number[]): number {
  const sorted = [...values].sort((a, b) => a - b)
  return sorted[Math.floor(sorted.length / 2)] ?? 0
}
