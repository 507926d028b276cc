import { keepVerbatim } from '../../_language/current.ts'
import { useSession } from '../../_ui/access/session.ts'
import { useRememberedText } from '../../_ui/remembered.ts'

/** Who learns at this browser, as typed last; whoever has logged in has a name of his own, and learns under it unless he types another. */
export function useTrainee(): readonly [string, (name: string) => void] {
  const name = useSession().view?.user?.name
  const kept = useRememberedText(`evenpull.training.trainee${name === undefined ? '' : `/${name}`}`, name ?? '')
  keepVerbatim([kept[0]])
  return kept
}
