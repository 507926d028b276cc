import { type ChildProcess, fork } from 'node:child_process'
import { existsSync } from 'node:fs'
import { createServer } from 'node:net'
import { createInterface } from 'node:readline'
import { fileURLToPath } from 'node:url'
import { z } from 'zod'
import { ERROR_CATALOGUE, type ErrorCode, EvenpullError } from '../../shared/errors.ts'
import { errorBody } from '../../shared/schemas/error-body.ts'
import { readUsers, userFileOf } from '../access/user-file.ts'
import { leanEnvironment } from '../start/lean.mjs'

const SIMULATOR = fileURLToPath(new URL('../../simulator/main.ts', import.meta.url))
const EVENPULL = fileURLToPath(new URL('./evenpull.mjs', import.meta.url))
const PAGE = fileURLToPath(new URL('../../out/training.html', import.meta.url))
const DEFAULT_PORT = 8420
/** A child that does not end by itself is killed. */
const STOP_WITHIN_MS = 5000

/** What a training group is started with. */
export interface TrainingGroupOptions {
  readonly configPath: string
  /** null: the usual one, or a free one where that is taken. */
  readonly port: number | null
  readonly host: string | null
  readonly json: boolean
  readonly out: (line: string) => void
  readonly err: (line: string) => void
}

/** Simulator with its training desk, and the gateway with the page, until a signal; resolves to the exit code. */
export async function runTrainingGroup(options: TrainingGroupOptions): Promise<number> {
  const group = new Group(options.err)
  const signalled = group.untilSignal()
  try {
    const desk = group.start(SIMULATOR, ['--training', '--write-config', options.configPath, '--json'], true)
    const { instructorKey } = await firstLine<{ instructorKey: string }>(desk, 'the training machine')
    const port = options.port ?? ((await isFree(DEFAULT_PORT)) ? DEFAULT_PORT : 0)
    const host = options.host === null ? [] : ['--host', options.host]
    const words = ['run', options.configPath, '--json', '--port', String(port), ...host]
    const { address } = await firstLine<{ address: string }>(group.start(EVENPULL, words, false), 'the gateway')
    tell(options, address, instructorKey, (await readUsers(userFileOf(options.configPath))).length > 0)
    return await Promise.race([signalled, group.firstEnd()])
  } finally {
    await group.stop()
  }
}

/** With users it is the engineers who are instructors: the key opens nothing then. */
function tell(
  { json, out, err, configPath }: TrainingGroupOptions,
  address: string,
  instructorKey: string,
  hasUsers: boolean,
): void {
  if (json) {
    out(JSON.stringify({ ready: true, address, training: `${address}/training`, configPath, instructorKey }))
    return
  }
  out('evenpull: training at')
  out(`\n  ${address}/training\n`)
  if (hasUsers) out('evenpull: everybody logs in; an engineer is the instructor, and sees what is hidden')
  else out(`evenpull: the instructor’s key is ${instructorKey} (it shows what is hidden)`)
  out(`evenpull: config and progress are kept at ${configPath}`)
  if (!existsSync(PAGE)) err('evenpull: the page is not built; npm start builds it')
  out('evenpull: stop with Ctrl-C')
}

/** Programs that live and end together. Over a channel each learns of the end of this process, however it came. */
class Group {
  readonly #children = new Set<ChildProcess>()
  readonly #err: (line: string) => void
  #isStopping = false

  constructor(err: (line: string) => void) {
    this.#err = err
  }

  /** A TypeScript program brings its loader along. */
  start(script: string, words: readonly string[], isTypeScript: boolean): ChildProcess {
    const child = fork(script, words, {
      env: leanEnvironment(),
      execArgv: isTypeScript ? ['--import', import.meta.resolve('tsx')] : [],
      stdio: ['ignore', 'pipe', 'inherit', 'ipc'],
    })
    this.#children.add(child)
    child.once('exit', () => this.#children.delete(child))
    return child
  }

  /** 4, once one of them has ended by itself. */
  firstEnd(): Promise<number> {
    return new Promise((resolve) => {
      for (const child of this.#children)
        child.once('exit', (code, signal) => {
          if (!this.#isStopping) this.#err(`evenpull: a part of the training ended (${signal ?? `exit code ${code}`})`)
          resolve(4)
        })
    })
  }

  untilSignal(): Promise<number> {
    return new Promise((resolve) => {
      for (const signal of ['SIGINT', 'SIGTERM', 'SIGHUP'] as const) process.once(signal, () => resolve(0))
    })
  }

  async stop(): Promise<void> {
    this.#isStopping = true
    await Promise.all([...this.#children].map(ended))
  }
}

function ended(child: ChildProcess): Promise<void> {
  return new Promise((resolve) => {
    const late = setTimeout(() => child.kill('SIGKILL'), STOP_WITHIN_MS)
    child.once('exit', () => {
      clearTimeout(late)
      resolve()
    })
    child.kill('SIGTERM')
  })
}

const refusal = z.object({ ok: z.literal(false), errors: z.tuple([errorBody], errorBody) })

/** The first line of a program, which says in JSON that it is ready, or why it is not; what else it prints is let go. */
async function firstLine<T>(child: ChildProcess, what: string): Promise<T> {
  const lines = createInterface({ input: child.stdout as NodeJS.ReadableStream })
  try {
    return await new Promise<T>((resolve, reject) => {
      lines.once('line', (line) => {
        const said: unknown = JSON.parse(line)
        const refused = refusal.safeParse(said)
        if (refused.success) reject(errorOf(refused.data.errors[0]))
        else resolve(said as T)
      })
      child.once('error', reject)
      child.once('exit', () => reject(new EvenpullError('EVP_USAGE', `${what} could not start: it says why above`)))
    })
  } finally {
    lines.close()
    child.stdout?.resume()
  }
}

/** The program's own refusal, with what to do about it. */
const errorOf = ({ code, message, remedy }: z.output<typeof errorBody>): EvenpullError =>
  new EvenpullError(Object.hasOwn(ERROR_CATALOGUE, code) ? (code as ErrorCode) : 'EVP_INTERNAL', message, { remedy })

function isFree(port: number): Promise<boolean> {
  return new Promise((resolve) => {
    const probe = createServer()
    probe.once('error', () => resolve(false))
    probe.listen(port, '127.0.0.1', () => probe.close(() => resolve(true)))
  })
}
