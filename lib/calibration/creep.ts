import { type CalibrationOutcome, cannot, plainInput } from './figure.ts'

/** Readings under a force that is held; times in seconds since it was put on, ascending. */
export interface Hold {
  readonly seconds: readonly number[]
  readonly readings: readonly number[]
  /** Standard uncertainty of one reading, in the signal's unit; undefined when not known. */
  readonly u?: number
}

export interface Creep {
  readonly fiveMinutes: CalibrationOutcome
  readonly thirtyMinutes: CalibrationOutcome
  readonly lastTenMinutes: CalibrationOutcome
}

/** A time is met by a reading this near to it, in seconds, or by two that lie about it (common practice, no source). */
const NEAR_S = 5
/** The first reading of a hold is taken at most this late: 20 s loading and settling time (OIML R 60, from memory). */
const FIRST_BY_S = 40

/**
 * Creep under a constant force, in % of span, by the definitions of ISO 376 (30 to 300 s) and OIML R 60 (within
 * 30 min, and 20 to 30 min). Readings between two times are interpolated. A hold that is too short, or was
 * not read at the times a definition asks for, cannot tell that figure.
 *
 * @param spanReading the span in the signal's unit
 */
export function creep(hold: Hold, spanReading: number): Creep {
  const toPercent = 100 / spanReading
  return {
    fiveMinutes: between(hold, 30, 300, toPercent, (change) => change),
    thirtyMinutes: withinThirtyMinutes(hold, toPercent),
    lastTenMinutes: between(hold, 1200, 1800, toPercent, Math.abs),
  }
}

function between(
  hold: Hold,
  fromS: number,
  toS: number,
  toPercent: number,
  signOf: (change: number) => number,
): CalibrationOutcome {
  const from = readingAt(hold, fromS)
  const to = readingAt(hold, toS)
  const missing = from === undefined ? fromS : to === undefined ? toS : undefined
  if (from === undefined || to === undefined)
    return cannot(`creep needs a reading ${missing} s after the weight was put on`)
  return told(hold, signOf((to - from) * toPercent), toPercent, [
    plainInput(`reading at ${fromS} s`, from, ''),
    plainInput(`reading at ${toS} s`, to, ''),
  ])
}

function withinThirtyMinutes(hold: Hold, toPercent: number): CalibrationOutcome {
  const [first] = hold.readings
  const startS = hold.seconds[0] ?? Number.POSITIVE_INFINITY
  if (first === undefined || startS > FIRST_BY_S)
    return cannot(`creep needs a first reading within ${FIRST_BY_S} s of putting the weight on`)
  if (readingAt(hold, 1800) === undefined) return cannot('creep needs a reading 1800 s after the weight was put on')
  let worst = 0
  for (const [i, reading] of hold.readings.entries())
    if ((hold.seconds[i] ?? 0) <= 1800 + NEAR_S) worst = Math.max(worst, Math.abs(reading - first))
  return told(hold, worst * toPercent, toPercent, [plainInput('first reading', first, '')])
}

function told(
  hold: Hold,
  value: number,
  toPercent: number,
  inputs: ReturnType<typeof plainInput>[],
): CalibrationOutcome {
  const uRandom = hold.u === undefined ? undefined : Math.SQRT2 * hold.u * toPercent
  return { kind: 'told', quantity: { value, uRandom, dof: Number.POSITIVE_INFINITY, systematic: [], inputs } }
}

/** Reading at a time, interpolated between its neighbours where they are no further apart than a tenth of it. */
function readingAt({ seconds, readings }: Hold, atS: number): number | undefined {
  const after = seconds.findIndex((s) => s >= atS)
  const before = after < 0 ? seconds.length - 1 : after > 0 ? after - 1 : 0
  const [tBefore, tAfter] = [seconds[before], after < 0 ? undefined : seconds[after]]
  const [yBefore, yAfter] = [readings[before], after < 0 ? undefined : readings[after]]
  const width = Math.max(2 * NEAR_S, atS / 10)
  if (tBefore !== undefined && tAfter !== undefined && yBefore !== undefined && yAfter !== undefined)
    if (tBefore <= atS && tAfter - tBefore <= width && tAfter > tBefore)
      return yBefore + ((yAfter - yBefore) * (atS - tBefore)) / (tAfter - tBefore)
  if (tAfter !== undefined && tAfter - atS <= NEAR_S) return yAfter
  return tBefore !== undefined && Math.abs(atS - tBefore) <= NEAR_S ? yBefore : undefined
}
