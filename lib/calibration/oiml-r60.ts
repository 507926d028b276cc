/** Accuracy class of a load cell as its certificate names it: C3 is letter C with 3000 verification intervals. */
export interface CellClass {
  readonly letter: 'C' | 'D'
  readonly intervals: number
}

/** Up to how many verification intervals v the permissible error is 0.5, and up to how many 1.0 of them; 1.5 beyond. */
const STEPS = { C: [500, 2000], D: [50, 200] } as const
/** Share of the permissible error of an instrument that its load cell may use up. */
const P_LC = 0.7
/** Creep as a share of the permissible error: within 30 min, and from 20 to 30 min. */
const WITHIN_30_MIN = 0.7
const LAST_10_MIN = 0.15

/**
 * The largest creep that OIML R 60 permits a cell of a class under a force, in newtons.
 *
 * Permissible error p_LC × 0.5, 1.0 or 1.5 v by the load, with v = capacity/intervals (table 4); creep 0.7 of it within
 * 30 min and 0.15 of it from 20 to 30 min. Read in a document that quotes it. The sign of the force does not count.
 * Example: C3 at its full load, 0.7 × 1.5 × 0.7 = 0.735 v of 3000, 0.0245 % of capacity.
 */
export function permittedCreep({ letter, intervals }: CellClass, forceN: number, capacityN: number) {
  const v = capacityN / intervals
  const load = Math.abs(forceN) / v
  const [first, second] = STEPS[letter]
  const error = P_LC * (load <= first ? 0.5 : load <= second ? 1 : 1.5) * v
  return { thirtyMinutes: WITHIN_30_MIN * error, lastTenMinutes: LAST_10_MIN * error }
}
