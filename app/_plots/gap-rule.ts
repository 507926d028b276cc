/**
 * Holes between rows: three missed polls in a row are a gap, but never less than a tenth of a second: a
 * fast line misses a few hundredths now and then, which hides nothing that a web does.
 */
export interface GapRule {
  readonly holeMs: number
  readonly envelopeHoleMs: number
  /** The same from the newest row to now: a batch is always a little on its way. */
  readonly silenceMs: number
  /** Longest time between two rows of a device that is asked seldom because it does not answer. */
  readonly pausesMs: number
}

const MISSED_PERIODS = 3
const LEAST_HOLE_MS = 100
/** A page too slow for every sample gets envelopes a few times a second; over this, something is missing. */
const ENVELOPE_HOLE_MS = 1500
/** Longest that a batch may reasonably wait to be sent, travel and be read. */
const BATCH_PATIENCE_MS = 500
/** A silent device is asked once a second, and each question may wait out its timeout (250 ms by default). */
const PAUSES_MS = 2000

/** The gap rule for samples that should come `rateHz` times a second. */
export function gapRule(rateHz: number): GapRule {
  const holeMs = Math.max(LEAST_HOLE_MS, (MISSED_PERIODS * 1000) / rateHz)
  const envelopeHoleMs = Math.max(holeMs, ENVELOPE_HOLE_MS)
  return {
    holeMs,
    envelopeHoleMs,
    silenceMs: Math.max(holeMs, BATCH_PATIENCE_MS),
    pausesMs: Math.max(holeMs, PAUSES_MS),
  }
}

/** How old the newest row may be before the time since counts as a gap. */
export function allowedSilenceMs(rule: GapRule, isEnvelope: boolean): number {
  return Math.max(rule.silenceMs, allowedMs(rule, isEnvelope))
}

/** How far apart two neighbouring rows may be. */
export function allowedMs(rule: GapRule, isEnvelope: boolean): number {
  return isEnvelope ? rule.envelopeHoleMs : rule.holeMs
}
