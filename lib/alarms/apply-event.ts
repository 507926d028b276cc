import type { AlarmEvent } from './event.ts'
import { type AlarmMemory, firstMemory, type KnownStanding } from './state.ts'

/** What a memory becomes by an event. The memory of an alarm is its events applied one after another. */
export function applyEvent(memory: AlarmMemory, event: AlarmEvent): AlarmMemory {
  const { atMs } = event
  switch (event.kind) {
    case 'activated':
      return {
        ...standing(memory, 'active', atMs),
        acknowledged: false,
        acknowledgedBy: null,
        occurrence: { beganMs: event.beganMs, announcedMs: atMs },
      }
    case 'returned':
    case 'resumed':
      return standing(memory, event.to, atMs)
    case 'lost':
      return { ...memory, standing: 'unknown', sinceMs: atMs }
    case 'acknowledged':
      return acknowledged(memory, event.who, atMs)
    case 'shelved': {
      const { who, reason, untilMs } = event
      return { ...memory, shelved: { who, reason, atMs, untilMs } }
    }
    case 'unshelved':
      return { ...memory, shelved: null, acknowledged: memory.acknowledged && memory.known !== 'active' }
    case 'taken-out': {
      const { who, reason } = event
      return { ...firstMemory(atMs), outOfService: { who, reason, atMs } }
    }
    case 'put-back':
      return firstMemory(atMs)
  }
}

function standing(memory: AlarmMemory, to: KnownStanding, atMs: number): AlarmMemory {
  const over = to === 'normal' ? { acknowledgedBy: null, occurrence: null } : {}
  return { ...memory, standing: to, known: to, sinceMs: atMs, ...over }
}

/** Acknowledging what has returned ends it; while data are away, it ends without becoming known. */
function acknowledged(memory: AlarmMemory, who: string, atMs: number): AlarmMemory {
  if (memory.known !== 'returned') return { ...memory, acknowledged: true, acknowledgedBy: { who, atMs } }
  const ended = { ...standing(memory, 'normal', atMs), acknowledged: true }
  return memory.standing === 'unknown' ? { ...ended, standing: 'unknown', sinceMs: memory.sinceMs } : ended
}
