import { findLines } from '../../lib/spectrum/lines.ts'
import { type SignalSamples, type SignalSpectrum, signalSpectrum } from '../../lib/spectrum/signal-spectrum.ts'
import { finish } from '../../lib/spectrum/welch.ts'
import { Random } from '../../lib/uncertainty/random.ts'

export interface Tone {
  readonly amplitude: number
  readonly hz: number
  /** rad */
  readonly phase?: number
}

export interface MadeSignal {
  readonly samples: number
  readonly rateHz: number
  readonly tones?: readonly Tone[]
  readonly level?: number
  /** Standard deviation of the noise, and how much of it each sample hands on to the next (AR(1)). */
  readonly sigma?: number
  readonly memory?: number
  /** Share of the samples that is missing. */
  readonly missing?: number
  /** Standard deviation of the sample times, in periods. */
  readonly jitter?: number
  readonly seed?: number
}

/** Tones on a level with noise of a given kind, at the times they were sampled. */
export function madeSignal(made: MadeSignal): SignalSamples {
  const { samples, rateHz, tones = [], level = 0, sigma = 0, memory = 0, missing = 0, jitter = 0, seed = 1 } = made
  const random = Random.seeded(seed)
  const times: number[] = []
  const values: number[] = []
  const kick = sigma * Math.sqrt(1 - memory * memory)
  let noise = sigma * random.normal()
  for (let i = 0; i < samples; i++) {
    noise = memory * noise + kick * random.normal()
    const t = (i + (jitter === 0 ? 0 : jitter * random.normal())) / rateHz
    if (missing > 0 && random.uniform() < missing) continue
    times.push(t)
    values.push(tones.reduce((sum, tone) => sum + heightOf(tone, t), level + noise))
  }
  return { times: Float64Array.from(times), values: Float64Array.from(values) }
}

const heightOf = ({ amplitude, hz, phase = 0 }: Tone, t: number): number =>
  amplitude * Math.sin(2 * Math.PI * hz * t + phase)

/** The spectrum of a signal that has one. */
export function spectrumOf(signal: SignalSamples): SignalSpectrum {
  const spectrum = finish(signalSpectrum(signal))
  if (spectrum === undefined) throw new Error('no spectrum of this signal')
  return spectrum
}

/** The lines of a spectrum whose chance to be noise is at most `alpha`. */
export const linesIn = (spectrum: SignalSpectrum, alpha: number) => finish(findLines(spectrum, alpha)).lines
