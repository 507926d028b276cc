import { z } from 'zod'

/**
 * The body of GET /api/zones/ID/spectrum: what the forces do at each frequency, and what could make it.
 *
 * From good samples alone; a signal that cannot be told says why. Amplitudes are those of a sine, half its peak to
 * peak, in newtons along the arrow, as the amplifier hands them over.
 */
const SPECTRUM_SIGNALS = ['drive_side', 'operator_side', 'single', 'sum', 'difference'] as const

const SPECTRUM_SECONDS = { least: 5, most: 600, usual: 60 } as const

export const spectrumQuery = z.strictObject({
  seconds: z.coerce.number().min(SPECTRUM_SECONDS.least).max(SPECTRUM_SECONDS.most).default(SPECTRUM_SECONDS.usual),
})

/** Something that could make a line at this place; never more than that. */
const lineCandidate = z.object({
  kind: z.enum(['turn', 'mains', 'natural']),
  /** The roller's name, `mains`, or `roller on its cells`. */
  name: z.string(),
  /** 1 for the turn or the mains itself, 2 for its double … */
  order: z.int(),
  /** As on: "could be …". */
  words: z.string(),
  /** Its own frequency, its expanded uncertainty, and where it is seen when sampled, Hz. */
  frequencyHz: z.number(),
  U: z.number(),
  seenHz: z.number(),
  /** It is above half the sampling rate and seen folded down. */
  folded: z.boolean(),
})

const spectralLine = z.object({
  frequencyHz: z.number(),
  /** Expanded, k = 2. */
  U_Hz: z.number(),
  /**
   * As seen, in turns of the measuring roller; null while its turn rate is not known, not steady, or above half the
   * sampling rate. What a folded line is in turns, its candidates tell.
   */
  order: z.number().nullable(),
  /** N; null so near half the sampling rate that a line and its own alias overlap. */
  amplitude: z.number().nullable(),
  /** Expanded, k = 2: noise, the cells' gain, jitter of the sampling, and for a difference the time between the sides. */
  U: z.number().nullable(),
  /** Chance that noise alone shows a line as high anywhere in this spectrum. */
  falseAlarm: z.number(),
  /** All known sources within resolution, nearest first; empty when none is. */
  candidates: z.array(lineCandidate),
  /** The speed moved this line over more than one resolution: its amplitude is spread, and told too small. */
  smeared: z.boolean(),
})

const signalSpectrum = z.discriminatedUnion('state', [
  z.object({
    state: z.literal('waiting'),
    sentence: z.string(),
    /** Seconds of good samples still needed; null when time alone does not help. */
    needsSeconds: z.number().nullable(),
  }),
  z.object({
    state: z.literal('told'),
    /** `welch` for even samples; `lomb-scargle` where their spacing is uneven or some are missing. */
    method: z.enum(['welch', 'lomb-scargle']),
    /** Why that method, in a sentence. */
    sentence: z.string(),
    /** Oldest and newest sample, epoch ms. */
    fromMs: z.number(),
    toMs: z.number(),
    samples: z.int(),
    /** Samples per second, and standard deviation of their times about even ones as a share of the time between two. */
    rateHz: z.number(),
    jitter: z.number(),
    /** Averaged segments, overlapping by half. */
    segments: z.int(),
    binHz: z.number(),
    /** Equivalent noise bandwidth, Hz: power density = amplitude²/(2·this), N²/Hz. */
    noiseBandwidthHz: z.number(),
    /** Two lines nearer than this are one. */
    resolutionHz: z.number(),
    /** Under this frequency a line is not told from a drift. */
    lowestHz: z.number(),
    /** Amplitudes, N, at startHz + i·stepHz: where bins are drawn together, the highest of them. */
    startHz: z.number(),
    stepHz: z.number(),
    amplitude: z.array(z.number()),
    /** Height of the noise at the same places, N. */
    floor: z.array(z.number()),
    lines: z.array(spectralLine),
  }),
])

export const zoneSpectrum = z.object({
  zone: z.string(),
  /** Gateway time, epoch ms; ages are counted against it. */
  timeMs: z.number(),
  /** Seconds asked for. */
  seconds: z.number(),
  signals: z.partialRecord(z.enum(SPECTRUM_SIGNALS), signalSpectrum),
  speed: z.object({
    state: z.enum(['steady', 'moving', 'stopped', 'unknown']),
    /** m/s */
    mean: z.number().nullable(),
    /** Largest less smallest one-second mean, % of the mean. */
    changePercent: z.number().nullable(),
    /** Turns of the measuring roller a second; null when not known. */
    turnHz: z.number().nullable(),
    /** Lines of rollers above this are smeared by the moving speed; null when none is. */
    smearedAboveHz: z.number().nullable(),
    sentence: z.string(),
  }),
  /** Largest chance of a line being noise at which it is still shown. */
  falseAlarmLimit: z.number(),
  /** What this spectrum cannot see, a sentence each. */
  cannotSee: z.array(z.string()),
})

export type SpectrumSignal = (typeof SPECTRUM_SIGNALS)[number]
export type LineCandidate = z.infer<typeof lineCandidate>
export type SpectralLineView = z.infer<typeof spectralLine>
export type SignalSpectrumView = z.infer<typeof signalSpectrum>
export type SignalSpectrumTold = Extract<SignalSpectrumView, { state: 'told' }>
export type ZoneSpectrum = z.infer<typeof zoneSpectrum>
