import { setImmediate } from 'node:timers/promises'

/** Longest time that work in slices holds the thread at once, but for the one step it is in. */
const SLICE_MS = 8

/** Runs a computation to its end and lets everything else have its turn every few milliseconds. */
export async function inSlices<T>(steps: Generator<undefined, T>, nowMs: () => number): Promise<T> {
  let begin = nowMs()
  for (;;) {
    const { done, value } = steps.next()
    if (done === true) return value
    if (nowMs() - begin < SLICE_MS) continue
    await setImmediate()
    begin = nowMs()
  }
}
