/** Drawn with the operator side on the left. */
export const FLIP_KEY = 'evenpull.flipped'
/** Keys of one letter work. */
export const KEYS_KEY = 'evenpull.keys'
