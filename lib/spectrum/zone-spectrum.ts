import type { ChannelConfig, ZoneConfig } from '../../shared/schemas/config.ts'
import type {
  LineCandidate,
  SignalSpectrumTold,
  SignalSpectrumView,
  SpectralLineView,
  SpectrumSignal,
  ZoneSpectrum,
} from '../../shared/schemas/spectrum.ts'
import { uncertaintyOf } from '../scale/default-uncertainty.ts'
import { type Candidate, candidates, candidatesAt } from './candidates.ts'
import { HANN_RESOLUTION } from './hann.ts'
import { findLines, type LinesFound, LOWEST_BIN, lobePower, type SpectralLine } from './lines.ts'
import { FEWEST_SAMPLES, type SignalSamples, type SignalSpectrum, signalSpectrum } from './signal-spectrum.ts'
import { forcesOf, present, type ZoneRows } from './signals.ts'
import { MOST_EVEN_JITTER } from './spacing.ts'
import { unseen } from './unseen.ts'
import { hertz, secondsWords } from './words.ts'
import { type ZoneSources, zoneSources } from './zone-sources.ts'

export interface ZoneSpectrumInputs {
  readonly zone: ZoneConfig
  readonly channels: ReadonlyMap<string, ChannelConfig>
  /** Samples per second asked of the cells. */
  readonly rateHz: number
  /** The rows of the last `seconds`. */
  readonly rows: ZoneRows
  readonly seconds: number
  /** Epoch ms. */
  readonly nowMs: number
  /** Operator-side time less drive-side time; null when not known. */
  readonly skewMs: number | null
}

/** A line is shown when noise alone would show one as high in one spectrum of a thousand, or rarer. */
export const FALSE_ALARM_LIMIT = 0.001
/** Coverage factor of every U here. */
const K = 2
const MOST_POINTS = 700

/**
 * The spectrum of a zone's forces from good samples alone. Hands back control after each segment of each signal, so
 * that a caller may let others run: 2 × 60 000 samples take some tenths of a second.
 */
export function* zoneSpectrum(inputs: ZoneSpectrumInputs): Generator<undefined, ZoneSpectrum> {
  const { rows, zone, channels } = inputs
  const sources = zoneSources(zone, channels, rows)
  yield
  const signals: Partial<Record<SpectrumSignal, SignalSpectrumView>> = {}
  const sides: SignalSpectrum[] = []
  for (const [name, values] of forcesOf(rows)) {
    const signal = present(rows.timesMs, values())
    yield
    const waiting = waitingOf(signal, inputs)
    const spectrum = waiting === null ? yield* signalSpectrum(signal, inputs.rateHz) : undefined
    if (spectrum === undefined) {
      signals[name] = waiting ?? TOO_MANY_MISSING
      continue
    }
    if (name !== 'sum' && name !== 'difference') sides.push(spectrum)
    yield
    const found = yield* findLines(spectrum, FALSE_ALARM_LIMIT)
    yield
    signals[name] = viewOf(name, spectrum, found, signal, sides, sources, inputs)
    yield
  }
  const first = sides[0]
  return {
    zone: zone.id,
    timeMs: inputs.nowMs,
    seconds: inputs.seconds,
    signals,
    speed: speedView(sources, first, zone),
    falseAlarmLimit: FALSE_ALARM_LIMIT,
    cannotSee: first === undefined ? [] : unseen(first, sources, inputs.skewMs),
  }
}

const TOO_MANY_MISSING: SignalSpectrumView = {
  state: 'waiting',
  sentence: 'Too many samples are missing: no stretch long enough has six tenths of its samples.',
  needsSeconds: null,
}

/** Newest good sample older than this, s, at least; or than five sampling periods. */
const SILENT_AFTER = 2

/** What a signal waits for; null when it can be told. */
function waitingOf({ times }: SignalSamples, { rows, rateHz, seconds, nowMs }: ZoneSpectrumInputs) {
  const wait = (sentence: string, needsSeconds: number | null) => ({
    state: 'waiting' as const,
    sentence,
    needsSeconds,
  })
  const newest = times[times.length - 1]
  if (newest === undefined) return wait(`No good sample in the last ${secondsWords(seconds)}.`, null)
  const silent = (nowMs - (rows.timesMs[0] ?? nowMs)) / 1000 - newest
  if (silent > Math.max(SILENT_AFTER, 5 / rateHz)) return wait(`No good sample for ${secondsWords(silent)}.`, null)
  if (times.length >= FEWEST_SAMPLES) return null
  const least = (FEWEST_SAMPLES * 1.05) / rateHz
  if (seconds < least)
    return wait(
      `${secondsWords(seconds)} hold too few samples at ${hertz(rateHz, '')} a second: ask for ${secondsWords(Math.ceil(least))} or more.`,
      null,
    )
  const needs = Math.max(1, Math.ceil((FEWEST_SAMPLES - times.length) / rateHz))
  return wait(`Needs about ${needs} s more of good samples.`, needs)
}

function viewOf(
  name: SpectrumSignal,
  spectrum: SignalSpectrum,
  found: LinesFound,
  signal: SignalSamples,
  sides: readonly SignalSpectrum[],
  sources: ZoneSources,
  inputs: ZoneSpectrumInputs,
): SignalSpectrumTold {
  const { rateHz, binHz, noiseBandwidthHz, spacing, density } = spectrum
  const known = candidates({ ...sources, rateHz })
  const origin = inputs.rows.timesMs[0] ?? 0
  const { times } = signal
  const drawn = drawnOf(spectrum)
  return {
    state: 'told',
    method: spectrum.method,
    sentence: methodWords(spectrum),
    fromMs: origin + 1000 * (times[0] ?? 0),
    toMs: origin + 1000 * (times[times.length - 1] ?? 0),
    samples: spectrum.samples,
    rateHz,
    jitter: spacing.jitter,
    segments: spectrum.segments,
    binHz,
    noiseBandwidthHz,
    resolutionHz: HANN_RESOLUTION * binHz,
    lowestHz: LOWEST_BIN * binHz,
    startHz: drawn.startHz,
    stepHz: drawn.stepHz,
    amplitude: drawn.of(density),
    floor: drawn.of(found.floor.density),
    lines: found.lines.map((line) => {
      const share = gainShare(name, inputs)
      const left = name === 'difference' ? leftOver(line.frequencyHz, sides, inputs.skewMs) : 0
      return lineView(line, spectrum, sources, known, share, left)
    }),
  }
}

function lineView(
  line: SpectralLine,
  spectrum: SignalSpectrum,
  sources: ZoneSources,
  known: readonly Candidate[],
  gain: number,
  left: number,
): SpectralLineView {
  const { frequencyHz, amplitude, uAmplitude } = line
  const { binHz } = spectrum
  const U_Hz = K * line.uFrequencyHz
  const within = candidatesAt(frequencyHz, HANN_RESOLUTION * binHz + U_Hz, known)
  const turn = turnOfAxis(sources, spectrum)
  const turning = within.find(({ kind }) => kind === 'turn')
  return {
    frequencyHz,
    U_Hz,
    order: turn === null ? null : frequencyHz / turn,
    amplitude,
    U:
      amplitude === null || uAmplitude === null
        ? null
        : K * Math.hypot(uAmplitude, gain * amplitude) + jitterLoss(frequencyHz, spectrum) * amplitude + left,
    falseAlarm: line.falseAlarm,
    candidates: within.map(candidateView),
    smeared: turning !== undefined && turning.frequency * sources.change > HANN_RESOLUTION * binHz,
  }
}

const candidateView = ({ kind, name, order, words, frequency, U, seenHz, folded }: Candidate): LineCandidate => ({
  kind,
  name,
  order,
  words,
  frequencyHz: frequency,
  U,
  seenHz,
  folded,
})

/** Share of a line that uneven sampling times take from it where they are taken as even: (2πfσ)²/2. */
function jitterLoss(frequencyHz: number, { method, spacing }: SignalSpectrum): number {
  return method === 'welch' ? (2 * Math.PI * frequencyHz * spacing.jitter * spacing.periodS) ** 2 / 2 : 0
}

/** What a line that is equal on both sides leaves in their difference because they are read at two times, N. */
function leftOver(frequencyHz: number, sides: readonly SignalSpectrum[], skewMs: number | null): number {
  if (skewMs === null) return 0
  const larger = Math.max(...sides.map((side) => Math.sqrt(2 * lobePower(side, Math.round(frequencyHz / side.binHz)))))
  return 2 * Math.abs(Math.sin((Math.PI * frequencyHz * skewMs) / 1000)) * larger
}

/** Standard uncertainty of the gain as a share; of two cells the larger. */
function gainShare(name: SpectrumSignal, { zone, channels }: ZoneSpectrumInputs): number {
  const shares = Object.entries(zone.cells).flatMap(([side, id]) =>
    name === side || name === 'sum' || name === 'difference'
      ? [uncertaintyOf('gain', channels.get(id)?.force?.u_gain_percent).share]
      : [],
  )
  return Math.max(0, ...shares)
}

/** Lines of the measuring roller stand: its turn moved less than one bin. */
function isSteady(sources: ZoneSources, spectrum: SignalSpectrum): boolean {
  if (sources.running.state !== 'running' || sources.turnHz === null) return false
  return Math.abs(sources.turnHz) * sources.change <= spectrum.binHz
}

/** The axis in turns makes sense: steady, and the roller's own turn is seen as itself. */
function turnOfAxis(sources: ZoneSources, spectrum: SignalSpectrum): number | null {
  const { turnHz } = sources
  return turnHz !== null && isSteady(sources, spectrum) && turnHz < spectrum.rateHz / 2 ? turnHz : null
}

function speedView(
  sources: ZoneSources,
  spectrum: SignalSpectrum | undefined,
  zone: ZoneConfig,
): ZoneSpectrum['speed'] {
  const { running, speed, change, turnHz } = sources
  const none = { mean: null, changePercent: null, turnHz: null, smearedAboveHz: null }
  if (running.state === 'unknown')
    return { ...none, state: 'unknown', sentence: 'The speed is not known: no line can be tied to a roller.' }
  if (running.state === 'stopped')
    return { ...none, state: 'stopped', mean: 0, sentence: 'The web stands: no line comes from a turning roller.' }
  const seen = { mean: speed?.mean ?? null, changePercent: 100 * change, turnHz }
  const moved = `The speed moved by ${(100 * change).toPrecision(2)} % within the window`
  const isStanding =
    spectrum !== undefined && turnHz !== null ? isSteady(sources, spectrum) : change <= zone.steady.speed_percent / 100
  const above = smearedAbove(change, spectrum)
  if (!isStanding)
    return {
      ...seen,
      state: 'moving',
      smearedAboveHz: above,
      sentence: `${moved}: too much for the lines of rollers to stand. Wait for steady speed, or take a shorter window.`,
    }
  const smear =
    above === null ? 'lines of rollers stand' : `lines of rollers above ${hertz(above)} are smeared, and told too small`
  return {
    ...seen,
    state: 'steady',
    smearedAboveHz: above,
    sentence: `${moved}: ${smear}.${foldedTurn(turnHz, spectrum)}`,
  }
}

/** Where a change of speed moves a roller's line over more than one resolution; null above half the sampling rate. */
function smearedAbove(change: number, spectrum: SignalSpectrum | undefined): number | null {
  if (spectrum === undefined || !(change > 0)) return null
  const above = (HANN_RESOLUTION * spectrum.binHz) / change
  return above < spectrum.rateHz / 2 ? above : null
}

function foldedTurn(turnHz: number | null, spectrum: SignalSpectrum | undefined): string {
  if (turnHz === null || spectrum === undefined || turnHz < spectrum.rateHz / 2) return ''
  return ` The measuring roller turns ${hertz(turnHz, '')} times a second, faster than half the sampling rate: its line is seen folded.`
}

function methodWords({ method, spacing }: SignalSpectrum): string {
  if (method === 'welch') return 'Even samples without a gap: Welch’s method.'
  const why =
    spacing.gaps > 0
      ? `${spacing.gaps} ${spacing.gaps === 1 ? 'gap' : 'gaps'} between samples`
      : `sampling times scatter by ${(100 * spacing.jitter).toFixed(0)} % of their spacing (over ${100 * MOST_EVEN_JITTER} %)`
  return `${why}: least squares on the samples’ own times (Lomb–Scargle).`.replace(/^s/, 'S')
}

/** Bins drawn together so that few enough points go over the wire, the highest of each group kept. */
function drawnOf({ density, binHz, noiseBandwidthHz }: SignalSpectrum) {
  const group = Math.ceil(density.length / MOST_POINTS)
  const points = Math.ceil(density.length / group)
  return {
    startHz: ((group - 1) / 2) * binHz,
    stepHz: group * binHz,
    of: (powers: Float64Array): number[] =>
      Array.from({ length: points }, (_, i) => {
        const highest = Math.max(...powers.subarray(i * group, (i + 1) * group))
        return Number(Math.sqrt(2 * noiseBandwidthHz * highest).toPrecision(4))
      }),
  }
}
