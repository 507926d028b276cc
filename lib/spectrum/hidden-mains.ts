import { candidates } from './candidates.ts'
import { LOWEST_BIN } from './lines.ts'
import { hertz } from './words.ts'

interface Hidden {
  readonly order: number
  readonly sentence: string
}

/** Mains, and twice the mains, that the sampling rate folds to where nothing is told: as a shift, or at half the rate. */
export function hiddenMains(rateHz: number, binHz: number): readonly Hidden[] {
  const known = candidates({ rateHz, speed: null, rollers: [], ownTurn: null, naturalHz: null })
  return known.flatMap(({ words, order, seenHz, U }) => {
    if (seenHz - U < LOWEST_BIN * binHz)
      return [
        {
          order,
          sentence: `${capital(words)} would show at about ${hertz(seenHz)}: as a shift or a slow wander, not as a line.`,
        },
      ]
    if (rateHz / 2 - seenHz - U < LOWEST_BIN * binHz)
      return [
        { order, sentence: `${capital(words)} would show so near ${hertz(rateHz / 2)} that its size cannot be told.` },
      ]
    return []
  })
}

const capital = (words: string): string => words.charAt(0).toUpperCase() + words.slice(1)

/** Samples of a segment of a capture’s spectrum, at the least. */
const SEGMENT = 512

/**
 * Why “no line at the mains” says nothing at this sampling rate, and what to do; null where 50 and 60 Hz would both show.
 * Nobody tells the product which of the two its grid has.
 */
export function mainsUnseen(rateHz: number, binHz = rateHz / SEGMENT): string | null {
  const hidden = hiddenMains(rateHz, binHz).filter(({ order }) => order === 1)
  if (hidden.length === 0) return null
  const why = hidden.map(({ sentence }) => sentence).join(' ')
  return `sampled ${hertz(rateHz, '')} times a second the mains cannot be seen. ${why} Poll at another rate, which 50 and 60 Hz are no multiple or half of`
}
