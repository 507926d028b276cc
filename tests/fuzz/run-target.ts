import { Random } from '../../lib/uncertainty/random.ts'
import type { Target } from './target.ts'

export interface FuzzResult {
  readonly name: string
  readonly inputs: number
  readonly taken: number
  readonly refused: number
  readonly longestMs: number
  readonly seconds: number
  /** Heap after collection, MB: when a quarter was through, and at the end; null without --expose-gc. */
  readonly heapMb: readonly [number, number] | null
}

/** What one input may take before it counts as a hang, ms: far over any, so that a busy machine decides nothing. */
const HANG_MS = 20_000

/**
 * Feeds `inputs` seeded inputs to a target. Rejects, naming target, seed and number of the input, when something does
 * not hold or hangs: the same seed and number make the same input again.
 */
export async function runTarget(target: Target, inputs: number, seed: number): Promise<FuzzResult> {
  const open = await target.open()
  const counts = { taken: 0, refused: 0 }
  let longestMs = 0
  let early: number | null = null
  const startMs = performance.now()
  try {
    for (let i = 0; i < inputs; i++) {
      const begunMs = performance.now()
      // A generator an input, so that any of them can be made again alone.
      const outcome = await inTime(() => open.feed(Random.seeded(seed * 1_000_003 + i), i)).catch((cause: unknown) => {
        throw new Error(`${target.name}, seed ${seed}, input ${i}: ${cause instanceof Error ? cause.message : cause}`, {
          cause,
        })
      })
      counts[outcome]++
      longestMs = Math.max(longestMs, performance.now() - begunMs)
      if (i === Math.floor(inputs / 4)) early = heapMb()
    }
    const late = heapMb()
    const seconds = (performance.now() - startMs) / 1000
    return {
      name: target.name,
      inputs,
      ...counts,
      longestMs,
      seconds,
      heapMb: early === null || late === null ? null : [early, late],
    }
  } finally {
    await open.close()
  }
}

async function inTime<T>(act: () => Promise<T> | T): Promise<T> {
  const result = act()
  if (!(result instanceof Promise)) return result
  let timer: NodeJS.Timeout | undefined
  const hang = new Promise<never>((_, reject) => {
    timer = setTimeout(() => reject(new Error(`no answer within ${HANG_MS} ms`)), HANG_MS)
  })
  try {
    return await Promise.race([result, hang])
  } finally {
    clearTimeout(timer)
  }
}

function heapMb(): number | null {
  const { gc } = globalThis
  if (gc === undefined) return null
  gc()
  return process.memoryUsage().heapUsed / 1e6
}
