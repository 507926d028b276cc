import { keepVerbatim } from '../../_language/current.ts'
import { useRememberedText } from '../../_ui/remembered.ts'

/** Who learns at this browser, as typed last. */
export function useTrainee(): readonly [string, (name: string) => void] {
  const kept = useRememberedText('evenpull.training.trainee', '')
  keepVerbatim([kept[0]])
  return kept
}
