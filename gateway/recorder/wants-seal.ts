import { RECOVERED } from './recovered.ts'
import type { WriterStatus } from './writer-facts.ts'

/** The disk has run short of space, or has it again: the next minute is not waited for. */
export function wantsSeal({ state, freeBytes }: WriterStatus, minFreeBytes: number): boolean {
  if (freeBytes === null) return false
  return state === 'running' ? freeBytes < minFreeBytes : freeBytes >= RECOVERED * minFreeBytes
}
