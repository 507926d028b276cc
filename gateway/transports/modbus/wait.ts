import type { MonotonicMs } from '../../../shared/brand.ts'

/** A timer may fire up to a millisecond late: it is set for so much less, and never for a shorter wait than this. */
const TIMER_GRAIN_MS = 1
const SHORTEST_TIMER_MS = 1.5

/**
 * Calls `then` once `due` has come, on an idle machine rarely more than a few tenths of a
 * millisecond late; returns how to cancel. Timers have a grain of 1 ms, as long as the silence of a
 * fast line itself, so the last part is waited out turn by turn of the event loop, which goes on
 * serving sockets.
 */
export function atTime(due: number, now: () => MonotonicMs, then: () => void): () => void {
  let timer: NodeJS.Timeout | undefined
  let turn: NodeJS.Immediate | undefined
  const step = () => {
    const rest = due - now()
    if (rest <= 0) then()
    else if (rest < SHORTEST_TIMER_MS) turn = setImmediate(step)
    else timer = setTimeout(step, Math.max(1, Math.floor(rest - TIMER_GRAIN_MS)))
  }
  step()
  return () => {
    clearTimeout(timer)
    clearImmediate(turn)
  }
}
