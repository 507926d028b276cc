import { Worker } from 'node:worker_threads'

/**
 * What a thread's young generation may take, MB: V8 would let it grow to 48 and keeps what it has grown to, a busy
 * moment long past. Three halves of it lie in memory at most (v8::ResourceConstraints), so a half is 2 MB.
 */
const YOUNG_GENERATION_MB = 6

/** A thread of plain Node, for work beside the line: with a small heap for what is short-lived. */
export function startThread(entry: URL, workerData?: unknown): Worker {
  return new Worker(entry, {
    // Not the parent's flags: its loader does not serve here.
    execArgv: [],
    workerData,
    resourceLimits: { maxYoungGenerationSizeMb: YOUNG_GENERATION_MB },
  })
}
