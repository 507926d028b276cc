import { FAULT_IDS } from '../../shared/faults.ts'
import type { FaultList, TrainingCatalogue } from '../../shared/schemas/training.ts'
import { FAULTS } from '../faults/registry.ts'
import { LESSONS } from './lessons.ts'
import { LEVELS } from './levels.ts'
import { remedyList } from './remedies.ts'
import { TRAINING_LINES } from './training-lines.ts'

/** What a trainee may choose from; nothing of it depends on what is hidden. */
export function trainingCatalogue(): TrainingCatalogue {
  return {
    lines: TRAINING_LINES.map(({ id, title, zones }) => ({ id, title, zones: [...zones] })),
    levels: LEVELS.map(({ id, title, about, faults, nothing }) => ({
      id,
      title,
      about,
      mostFaults: faults,
      mayBeNothing: nothing > 0,
    })),
    lessons: LESSONS.map(({ id, title, teaches, line, task, hints }) => ({
      id,
      title,
      teaches,
      line,
      task,
      hints: hints.length,
    })),
    causes: FAULT_IDS.map((id) => ({ id, title: FAULTS[id].title, oneSided: FAULTS[id].sides === 'one' })),
    remedies: remedyList(),
  }
}

/** What an instructor may put in. */
export function faultList(): FaultList {
  return {
    faults: FAULT_IDS.map((id) => {
      const { title, sides, severity, onsets } = FAULTS[id]
      const { unit, least, typical, most, eitherWay = false } = severity
      return { id, title, oneSided: sides === 'one', unit, least, typical, most, eitherWay, onsets: [...onsets] }
    }),
  }
}
