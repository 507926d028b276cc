import { randomInt, randomUUID } from 'node:crypto'
import { EvenpullError } from '../../shared/errors.ts'
import type { ActiveFault } from '../faults/active.ts'
import type { Drawn } from './draw.ts'
import type { ExercisePlan } from './journal-lines.ts'
import { lessonOf } from './lessons.ts'
import { type Level, levelOf } from './levels.ts'
import { trainingLine } from './training-lines.ts'

export const LARGEST_SEED = 0xffffffff

const planBase = (trainee: string, seed: number) => ({ id: randomUUID(), trainee, seed, startedMs: 0 })

/** Throws EVP_REQUEST_INVALID for a lesson there is not. */
export function lessonPlan(trainee: string, id: string): ExercisePlan {
  const lesson = lessonOf(id)
  if (lesson === undefined) throw invalid(`there is no lesson ${id}`)
  const { title, task, line, hints, fault, seed } = lesson
  const rest = { kind: 'lesson', lesson: id, level: null, mostFaults: 1, mayBeNothing: false } as const
  return { ...planBase(trainee, seed), ...rest, title, task, line, hints, faults: [fault] }
}

/** What an instructor has put together. */
export function setPlan(trainee: string, line: string, faults: readonly ActiveFault[]): ExercisePlan {
  const title = 'Set by the instructor'
  const task = 'Find out what is wrong with this line, if anything is.'
  // As much as may be in any: how many there are is for the trainee to find.
  const rest = { kind: 'set', lesson: null, level: null, mostFaults: 4, mayBeNothing: true, hints: [] } as const
  return { ...planBase(trainee, randomInt(LARGEST_SEED)), ...rest, title, task, line, faults }
}

export function levelPlan(trainee: string, level: Level, drawn: Drawn, seed: number): ExercisePlan {
  const { id, title, about: task, faults: mostFaults, nothing } = level
  const rest = { kind: 'level', lesson: null, level: id, hints: [], mayBeNothing: nothing > 0 } as const
  const { line, faults } = drawn
  return { ...planBase(trainee, seed), ...rest, title, task, mostFaults, line, faults }
}

/** Throws EVP_REQUEST_INVALID where there is none. */
export function levelCalled(id: string): Level {
  const level = levelOf(id)
  if (level === undefined) throw invalid(`there is no level ${id}`)
  return level
}

/** Throws EVP_REQUEST_INVALID where there is none. */
export function lineOf(id: string) {
  const line = trainingLine(id)
  if (line === undefined) throw invalid(`there is no line ${id}`)
  return line
}

export const invalid = (message: string) => new EvenpullError('EVP_REQUEST_INVALID', message)
