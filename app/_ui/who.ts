import { useRememberedText } from './remembered.ts'

/** Under which name changes are signed; the same on every page of this browser. */
const WHO_KEY = 'evenpull.who'

export const useWho = () => useRememberedText(WHO_KEY, '')
