import type { ComparedReading } from '../../shared/schemas/training.ts'
import type { Reading } from '../technician/act.ts'
import type { TestRun } from './run-test.ts'

/** Coverage factor of a difference that tells. */
const COVERAGE = 2

/** Readings of one test at the faulted machine beside those at its sound twin; one that only one of them has, differs. */
export function compared(found: readonly Reading[], sound: readonly Reading[]): ComparedReading[] {
  const twins = byKey(sound)
  const own = byKey(found)
  const rows = [...own].map(([key, reading]) => comparedReading(reading, twins.get(key) ?? null))
  const missing = [...twins].filter(([key]) => !own.has(key)).map(([, reading]) => comparedReading(null, reading))
  return [...rows, ...missing].sort((a, b) => Number(b.differs) - Number(a.differs))
}

/** A figure that is read again in the same test is another one. */
function byKey(readings: readonly Reading[]): Map<string, Reading> {
  const found = new Map<string, Reading>()
  for (const reading of readings) {
    const name = `${reading.side ?? ''}/${reading.figure}`
    let key = name
    for (let again = 2; found.has(key); again++) key = `${name}/${again}`
    found.set(key, reading)
  }
  return found
}

const NOT_THERE = 'nothing to read'

function comparedReading(found: Reading | null, sound: Reading | null): ComparedReading {
  const { figure, side, unit } = (found ?? sound) as Reading
  const row = { figure, side: side ?? null, unit, found: found?.value ?? NOT_THERE, sound: sound?.value ?? NOT_THERE }
  if (found === null || sound === null) return { ...row, u: null, differs: true }
  if (typeof found.value !== 'number' || typeof sound.value !== 'number' || found.u === null || sound.u === null)
    return { ...row, u: null, differs: found.value !== sound.value }
  const u = Math.hypot(found.u, sound.u)
  return { ...row, u, differs: Math.abs(found.value - sound.value) > COVERAGE * u }
}

/** A test tells when any of its readings differs by more than its uncertainty, and could be made on both. */
export function tells(found: TestRun, sound: TestRun): boolean {
  if (found.reason !== null || sound.reason !== null) return false
  return compared(found.readings, sound.readings).some(({ differs }) => differs)
}
