import type { MonotonicMs } from '../../../shared/brand.ts'

/**
 * Calls `then` once `due` has come, rarely more than a few hundredths of a millisecond late; returns
 * how to cancel. Timers have a grain of 1 ms, as long as the silence of a fast line itself, so
 * the last part is waited out turn by turn of the event loop, which goes on serving sockets.
 */
export function atTime(due: number, now: () => MonotonicMs, then: () => void): () => void {
  let timer: NodeJS.Timeout | undefined
  let turn: NodeJS.Immediate | undefined
  const step = () => {
    const rest = due - now()
    if (rest <= 0) then()
    else if (rest < 1) turn = setImmediate(step)
    else timer = setTimeout(step, Math.floor(rest))
  }
  step()
  return () => {
    clearTimeout(timer)
    clearImmediate(turn)
  }
}
