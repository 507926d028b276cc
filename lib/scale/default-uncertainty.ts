/** Where a standard uncertainty came from, as a figure's inputs tell it. */
export const ASSUMED = 'assumed: common practice, not in the config'
export const SET = 'set in the config'
export type UncertaintySource = typeof ASSUMED | typeof SET

/** What is taken where the config gives nothing, % (common practice, no source): of capacity for a zero, else of the value. */
export const ASSUMED_PERCENT = { gain: 0.5, zero: 0.1, value: 0.5, forceFactor: 1 } as const

export interface StandardUncertainty {
  readonly percent: number
  /** The same as a share of 1. */
  readonly share: number
  readonly source: UncertaintySource
}

/** The config's own standard uncertainty, in % there, or the assumed one; and which of the two it is. */
export function uncertaintyOf(kind: keyof typeof ASSUMED_PERCENT, percent: number | undefined): StandardUncertainty {
  const value = percent ?? ASSUMED_PERCENT[kind]
  return { percent: value, share: value / 100, source: sourceOf(percent) }
}

export const sourceOf = (given: number | undefined): UncertaintySource => (given === undefined ? ASSUMED : SET)

/** The geometry's own defaults name common practice: for a figure that reads as assumed too. */
export const sourceWords = (source: string | undefined): string | undefined =>
  source === 'common practice, no source' ? ASSUMED : source
