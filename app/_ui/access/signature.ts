import { useRememberedText } from '../remembered.ts'
import { useSession } from './session.ts'

/** Under which name changes are signed; the same on every page of this browser. */
const WHO_KEY = 'evenpull.who'

export interface Signature {
  readonly who: string
  readonly setWho: (name: string) => void
  /** Logged in: the gateway signs with that name, whatever would be typed. */
  readonly isFixed: boolean
}

/** Who answers for a change: the logged-in user, or where there is no log-in the name typed last. */
export function useSignature(): Signature {
  const [typed, setWho] = useRememberedText(WHO_KEY, '')
  const user = useSession().view?.user ?? null
  return { who: user?.name ?? typed, setWho, isFixed: user !== null }
}
