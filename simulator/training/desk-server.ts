import { timingSafeEqual } from 'node:crypto'
import { createServer, type IncomingMessage, type Server, type ServerResponse } from 'node:http'
import type { AddressInfo } from 'node:net'
import { z } from 'zod'
import { type ErrorCode, EvenpullError } from '../../shared/errors.ts'
import {
  doAct,
  handIn,
  INSTRUCTOR_KEY_HEADER,
  INSTRUCTOR_ROLE_HEADER,
  instructorChange,
  ofExercise,
  progressQuery,
  setExercise,
  startExercise,
  traineeName,
} from '../../shared/schemas/training.ts'
import { trainingActs } from './act-list.ts'
import { faultList, trainingCatalogue } from './catalogue.ts'
import type { TrainingDesk } from './desk.ts'

/** Most bytes of a body; the gateway's own limit is smaller. */
const MOST_BYTES = 64 * 1024

export interface DeskServerOptions {
  readonly desk: TrainingDesk
  /** What the gateway shows with every request. */
  readonly secret: string
  /** What an instructor shows where nobody has to log in. */
  readonly key: string
  readonly log: (line: string) => void
}

/** One thing that can be asked; `instructor`: only with the key, or by a gateway that vouches for the asker's role. */
interface Ask {
  readonly instructor?: true
  readonly answer: (asked: { body: unknown; query: URLSearchParams; id: string }) => unknown
}

function asksOf(desk: TrainingDesk): Readonly<Record<string, Ask>> {
  const everybody: Record<string, Ask> = {
    'GET /api/training': { answer: trainingCatalogue },
    'GET /api/training/acts': { answer: () => ({ acts: trainingActs() }) },
    'GET /api/training/exercise': { answer: () => ({ exercise: desk.exercise() }) },
    'POST /api/training/exercise': { answer: ({ body }) => desk.start(startExercise.parse(body)) },
    'POST /api/training/exercise/acts': { answer: ({ body }) => desk.act(doAct.parse(body)) },
    'POST /api/training/exercise/hint': { answer: ({ body }) => desk.hint(ofExercise.parse(body).exercise) },
    'POST /api/training/exercise/answer': { answer: ({ body }) => desk.handIn(handIn.parse(body)) },
    'POST /api/training/exercise/give-up': { answer: ({ body }) => desk.giveUp(ofExercise.parse(body).exercise) },
    'GET /api/training/debriefs/': { answer: ({ id }) => desk.debrief(z.uuid().parse(id)) },
    'GET /api/training/progress': {
      answer: ({ query }) => desk.progress(progressQuery.parse(Object.fromEntries(query)).trainee),
    },
  }
  const instructor: Record<string, Ask['answer']> = {
    'GET /api/training/instructor': () => desk.forInstructor(),
    'GET /api/training/instructor/faults': faultList,
    'POST /api/training/instructor/exercise': ({ body }) => desk.set(setExercise.parse(body)),
    'POST /api/training/instructor/changes': ({ body }) => desk.change(instructorChange.parse(body)),
    'GET /api/training/instructor/results': ({ query }) => {
      const trainee = query.get('trainee')
      return desk.results(trainee === null ? undefined : traineeName.parse(trainee))
    },
  }
  const locked = Object.entries(instructor).map(([ask, answer]) => [ask, { instructor: true, answer }] as const)
  return { ...everybody, ...Object.fromEntries(locked) }
}

/** The desk on loopback, for the gateway alone. */
export class DeskServer {
  readonly #options: DeskServerOptions
  readonly #asks: Readonly<Record<string, Ask>>
  readonly #server: Server

  constructor(options: DeskServerOptions) {
    this.#options = options
    this.#asks = asksOf(options.desk)
    this.#server = createServer((request, response) => void this.#handle(request, response))
  }

  /** Resolves to its address, `http://127.0.0.1:PORT`. */
  listen(): Promise<string> {
    return new Promise((resolve, reject) => {
      this.#server.once('error', reject)
      this.#server.listen(0, '127.0.0.1', () =>
        resolve(`http://127.0.0.1:${(this.#server.address() as AddressInfo).port}`),
      )
    })
  }

  close(): Promise<void> {
    return new Promise((resolve) => {
      this.#server.close(() => resolve())
      this.#server.closeAllConnections()
    })
  }

  async #handle(request: IncomingMessage, response: ServerResponse): Promise<void> {
    try {
      send(response, 200, await this.#answer(request))
    } catch (thrown) {
      const error = errorOf(thrown)
      if (error.code === 'EVP_INTERNAL') this.#options.log(`training: ${stackOf(thrown)}`)
      send(response, STATUS[error.code] ?? 500, error)
    }
  }

  async #answer(request: IncomingMessage): Promise<unknown> {
    if (!sameText(request.headers.authorization, `Bearer ${this.#options.secret}`))
      throw new EvenpullError('EVP_LOGIN_NEEDED', 'only the gateway may ask the training desk')
    const { pathname, searchParams: query } = new URL(request.url ?? '/', 'http://127.0.0.1')
    const [, before = pathname, id = ''] = /^(\/api\/training\/debriefs\/)([^/]+)$/.exec(pathname) ?? []
    const ask = this.#asks[`${request.method} ${before}`]
    if (ask === undefined) throw new EvenpullError('EVP_NOT_FOUND', `nothing at ${pathname.slice(0, 200)}`)
    if (ask.instructor === true) this.#requireInstructor(request)
    const body = request.method === 'POST' ? await bodyOf(request) : undefined
    return ask.answer({ body, query, id })
  }

  #requireInstructor({ headers }: IncomingMessage): void {
    const key = headers[INSTRUCTOR_KEY_HEADER]
    if (headers[INSTRUCTOR_ROLE_HEADER] === 'engineer') return
    if (typeof key === 'string' && sameText(key, this.#options.key)) return
    throw new EvenpullError(
      'EVP_TRAINING_KEY',
      key === undefined ? 'the instructor’s key is missing' : 'the key is wrong',
    )
  }
}

const STATUS: Readonly<Partial<Record<ErrorCode, number>>> = {
  EVP_REQUEST_INVALID: 400,
  EVP_LOGIN_NEEDED: 401,
  EVP_TRAINING_KEY: 403,
  EVP_NOT_FOUND: 404,
  EVP_TRAINING_STATE: 409,
  EVP_TOO_LARGE: 413,
}

function errorOf(thrown: unknown): EvenpullError {
  if (thrown instanceof EvenpullError) return thrown
  if (thrown instanceof z.ZodError) {
    const issues = thrown.issues.map(({ path, message }) => `${path.join('.') || 'body'}: ${message}`)
    return new EvenpullError('EVP_REQUEST_INVALID', issues.slice(0, 5).join('; ').slice(0, 500))
  }
  return new EvenpullError('EVP_INTERNAL', 'The training desk could not answer.', { cause: thrown })
}

async function bodyOf(request: IncomingMessage): Promise<unknown> {
  const chunks: Buffer[] = []
  let bytes = 0
  for await (const chunk of request as AsyncIterable<Buffer>) {
    bytes += chunk.length
    if (bytes > MOST_BYTES) throw new EvenpullError('EVP_TOO_LARGE', `a body is limited to ${MOST_BYTES} bytes`)
    chunks.push(chunk)
  }
  try {
    return JSON.parse(Buffer.concat(chunks).toString('utf8'))
  } catch {
    throw new EvenpullError('EVP_REQUEST_INVALID', 'the body is not JSON')
  }
}

function send(response: ServerResponse, status: number, body: unknown): void {
  response.writeHead(status, { 'content-type': 'application/json; charset=utf-8', connection: 'close' })
  response.end(JSON.stringify(body))
}

/** Says by its time nothing about where two texts part. */
function sameText(told: string | undefined, right: string): boolean {
  const [a, b] = [Buffer.from(told ?? ''), Buffer.from(right)]
  return a.length === b.length && timingSafeEqual(a, b)
}

const stackOf = (thrown: unknown): string =>
  thrown instanceof Error ? (thrown.stack ?? thrown.message) : String(thrown)
