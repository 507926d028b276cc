import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { type DebriefAnswer, INSTRUCTOR_KEY_HEADER, type TrainingDebrief } from '../../../shared/schemas/training.ts'
import { untilAnswer } from './gateway.ts'
import { patientFetch } from './patient-fetch.ts'
import { start, untilPrinted } from './processes.ts'

const EVENPULL = fileURLToPath(new URL('../../../gateway/cli/evenpull.mjs', import.meta.url))

interface Answered {
  readonly status: number
  readonly text: string
  // biome-ignore lint/suspicious/noExplicitAny: an answer is looked at by each test as it needs
  readonly body: any
}

/** The training group as a person starts it. */
export interface TrainingProcess {
  readonly pid: number
  readonly address: string
  readonly key: string
  readonly configPath: string
  get(path: string): Promise<Answered>
  post(path: string, body: unknown): Promise<Answered>
  /** With the instructor's key. */
  readonly instructor: {
    get(path: string): Promise<Answered>
    post(path: string, body: unknown): Promise<Answered>
  }
  /** With these headers, as somebody who has logged in. */
  as(headers: Record<string, string>): Pick<TrainingProcess, 'get' | 'post'>
  debrief(exercise: string): Promise<TrainingDebrief>
  /** SIGTERM, or another; resolves to the exit code once it has ended. */
  stop(signal?: NodeJS.Signals): Promise<number | null>
}

export const madeFolder = (): string => mkdtempSync(join(tmpdir(), 'evenpull-training-'))
export const removed = (folder: string): void => rmSync(folder, { recursive: true, force: true })

/** Starts `evenpull simulate` in a folder; what was kept there before is gone on with. */
export async function startTrainingProcess(folder: string): Promise<TrainingProcess> {
  const configPath = join(folder, 'line.yaml')
  const child = start(process.execPath, [EVENPULL, 'simulate', '--config', configPath, '--port', '0', '--json'])
  const exited = new Promise<number | null>((resolve) => child.once('exit', resolve))
  const [, line = ''] = await untilPrinted(child, /(\{"ready":true.*\})\n/)
  const { address, instructorKey: key } = JSON.parse(line) as { address: string; instructorKey: string }
  const ask = async (path: string, init: RequestInit): Promise<Answered> => {
    const reply = await patientFetch(address + path, init)
    const text = await reply.text()
    const isJson = reply.headers.get('content-type')?.startsWith('application/json') === true
    return { status: reply.status, text, body: isJson ? JSON.parse(text) : null }
  }
  const asking = (headers: Record<string, string>) => ({
    get: (path: string) => ask(path, { headers }),
    post: (path: string, body: unknown) =>
      ask(path, {
        method: 'POST',
        headers: { ...headers, 'content-type': 'application/json' },
        body: JSON.stringify(body),
      }),
  })
  const trainee = asking({})
  return {
    pid: child.pid ?? 0,
    address,
    key,
    configPath,
    ...trainee,
    instructor: asking({ [INSTRUCTOR_KEY_HEADER]: key }),
    as: asking,
    async debrief(exercise) {
      const told = async () => (await trainee.get(`/api/training/debriefs/${exercise}`)).body as DebriefAnswer
      const answer = await untilAnswer(told, ({ state }) => state !== 'working', 240_000)
      if (answer.state !== 'ready') throw new Error(JSON.stringify(answer))
      return answer.debrief
    },
    async stop(signal = 'SIGTERM') {
      child.kill(signal)
      return exited
    },
  }
}
