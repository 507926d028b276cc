import type { Onset } from './onset.ts'

/** Made once, by hands: there from the start, or from a moment on. */
export const BY_HANDS: readonly Onset['kind'][] = ['constant', 'sudden']
/** Things that wear, warm, loosen and come and go. */
export const ANY_WAY: readonly Onset['kind'][] = [
  'constant',
  'sudden',
  'growing',
  'with-temperature',
  'with-speed',
  'intermittent',
]
