import { parentPort, workerData } from 'node:worker_threads'
import { debriefOf } from './debrief.ts'
import { draw } from './draw.ts'
import type { Job, JobMessage } from './jobs.ts'
import { levelOf } from './levels.ts'
import { trainingLine } from './training-lines.ts'

const tell = (message: JobMessage) => parentPort?.postMessage(message)

function done(job: Job): JobMessage {
  if (job.kind === 'debrief') return { done: debriefOf(job.closed, (share) => tell({ share })) }
  const level = levelOf(job.level)
  if (level === undefined) return { failed: `there is no level ${job.level}` }
  return { done: draw(level, job.line === null ? null : (trainingLine(job.line) ?? null), job.seed) }
}

try {
  tell(done(workerData as Job))
} catch (error) {
  tell({ failed: error instanceof Error ? (error.stack ?? error.message) : String(error) })
}
