import { Worker } from 'node:worker_threads'
import type { TrainingDebrief } from '../../shared/schemas/training.ts'
import type { ClosedExercise } from './closed-exercise.ts'
import type { Drawn } from './draw.ts'

/** What takes twins, and so a thread of its own: the live machine keeps its time meanwhile. */
export type Job =
  | { readonly kind: 'draw'; readonly level: string; readonly line: string | null; readonly seed: number }
  | { readonly kind: 'debrief'; readonly closed: ClosedExercise }

export type JobMessage =
  | { readonly share: number }
  | { readonly done: Drawn | TrainingDebrief }
  | { readonly failed: string }

const WORKER = new URL('./job-worker.mjs', import.meta.url)

/** Rejects with what the job threw. `signal` ends it. */
export function runJob(job: Job, share: (done: number) => void, signal: AbortSignal): Promise<Drawn | TrainingDebrief> {
  return new Promise((resolve, reject) => {
    const worker = new Worker(WORKER, { workerData: job })
    const end = () => void worker.terminate()
    signal.addEventListener('abort', end, { once: true })
    worker.on('message', (message: JobMessage) => {
      if ('share' in message) share(message.share)
      else if ('done' in message) resolve(message.done)
      else reject(new Error(message.failed))
    })
    worker.on('error', reject)
    worker.on('exit', () => {
      signal.removeEventListener('abort', end)
      reject(new Error('the work was broken off'))
    })
  })
}

export const drawInThread = (job: Omit<Job & { kind: 'draw' }, 'kind'>, signal: AbortSignal) =>
  runJob({ kind: 'draw', ...job }, () => {}, signal) as Promise<Drawn>

export const debriefInThread = (closed: ClosedExercise, share: (done: number) => void, signal: AbortSignal) =>
  runJob({ kind: 'debrief', closed }, share, signal) as Promise<TrainingDebrief>
