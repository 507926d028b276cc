/** Holes between rows: a device that misses three polls in a row has left a gap. */
export interface GapRule {
  readonly holeMs: number
  readonly envelopeHoleMs: number
}

const MISSED_PERIODS = 3
/** A page too slow for every sample gets envelopes a few times a second; over this, something is missing. */
const ENVELOPE_HOLE_MS = 1500

/** The gap rule for samples that should come `rateHz` times a second. */
export function gapRule(rateHz: number): GapRule {
  const holeMs = (MISSED_PERIODS * 1000) / rateHz
  return { holeMs, envelopeHoleMs: Math.max(holeMs, ENVELOPE_HOLE_MS) }
}

/** How far apart two neighbouring rows may be. */
export function allowedMs(rule: GapRule, isEnvelope: boolean): number {
  return isEnvelope ? rule.envelopeHoleMs : rule.holeMs
}
