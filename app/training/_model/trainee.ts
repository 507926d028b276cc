import { useRememberedText } from '../../_ui/remembered.ts'

/** Who learns at this browser, as typed last. */
export const useTrainee = () => useRememberedText('evenpull.training.trainee', '')
