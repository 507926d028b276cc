import type { TrainingTruth } from '../../shared/schemas/training.ts'
import { FAULTS } from '../faults/registry.ts'
import type { ClosedFault } from './closed-exercise.ts'
import { remediesOf } from './remedies.ts'
import { onsetWords, truthWords } from './truth-words.ts'

/** A hidden fault in the clear. */
export function truthOf({ fault: active, by, mended }: ClosedFault): TrainingTruth {
  const { fault, zone, side, severity, onset } = active
  return {
    cause: fault,
    title: FAULTS[fault].title,
    zone,
    side,
    severity,
    unit: FAULTS[fault].severity.unit,
    onset: onsetWords(onset),
    words: truthWords(active),
    remedies: [...remediesOf(fault)],
    mended,
    by,
  }
}
