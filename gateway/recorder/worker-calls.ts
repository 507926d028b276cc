import type { MessagePort, Worker } from 'node:worker_threads'
import { type ErrorBody, EvenpullError } from '../../shared/errors.ts'

/** One call of a worker's handlers and its answer, over the worker's port. */
interface Call {
  readonly id: number
  readonly name: string
  readonly args: readonly unknown[]
}
type Answer =
  | { readonly id: number; readonly value: unknown }
  | { readonly id: number; readonly error: ErrorBody | null; readonly message: string }

// biome-ignore lint/suspicious/noExplicitAny: each handler has arguments of its own; `CallsOf` keeps them for the caller
export type Handlers = Readonly<Record<string, (...args: any[]) => unknown>>

/** Inside a worker: answers calls, one that does not wait in the order they came. */
export function serveCalls(port: MessagePort, handlers: Handlers): void {
  port.on('message', ({ id, name, args }: Call) => {
    const answer = answerTo(id, () => handlers[name]?.(...args))
    if ('value' in answer && answer.value instanceof Promise) void answerLater(id, answer.value, port)
    else port.postMessage(answer)
  })
}

async function answerLater(id: number, value: Promise<unknown>, port: MessagePort): Promise<void> {
  const settled = await value.then(
    (told) => () => told,
    (error) => () => {
      throw error
    },
  )
  port.postMessage(answerTo(id, settled))
}

function answerTo(id: number, act: () => unknown): Answer {
  try {
    return { id, value: act() }
  } catch (error) {
    const message = error instanceof Error ? error.message : String(error)
    return { id, error: error instanceof EvenpullError ? error.toJSON() : null, message }
  }
}

interface Waiting {
  resolve(value: unknown): void
  reject(error: Error): void
}

/** The other end: calls the handlers of a worker. When the worker ends, every call that waits is rejected. */
export class WorkerCalls<H extends Handlers> {
  readonly #worker: Worker
  readonly #waiting = new Map<number, Waiting>()
  #last = 0
  #over: Error | null = null

  constructor(worker: Worker, ended: (error: Error) => void) {
    this.#worker = worker
    worker.on('message', (answer: Answer) => this.#receive(answer))
    const end = (error: Error) => {
      if (this.#over !== null) return
      this.#over = error
      for (const { reject } of this.#waiting.values()) reject(error)
      this.#waiting.clear()
      ended(error)
    }
    worker.once('error', (error) => end(error as Error))
    worker.once('exit', (code) => end(new Error(`the worker ended with exit code ${code}`)))
  }

  call<Name extends keyof H & string>(
    name: Name,
    args: Parameters<H[Name]>,
    transfer: readonly ArrayBuffer[] = [],
  ): Promise<Awaited<ReturnType<H[Name]>>> {
    if (this.#over !== null) return Promise.reject(this.#over)
    const id = ++this.#last
    return new Promise((resolve, reject) => {
      this.#waiting.set(id, { resolve: resolve as (value: unknown) => void, reject })
      this.#worker.postMessage({ id, name, args } satisfies Call, transfer)
    })
  }

  async terminate(): Promise<void> {
    await this.#worker.terminate()
  }

  #receive(answer: Answer): void {
    const waiting = this.#waiting.get(answer.id)
    this.#waiting.delete(answer.id)
    if (waiting === undefined) return
    if ('value' in answer) waiting.resolve(answer.value)
    else waiting.reject(asError(answer.error, answer.message))
  }
}

function asError(error: ErrorBody | null, message: string): Error {
  if (error === null) return new Error(message)
  return new EvenpullError(error.code, error.message, { remedy: error.remedy })
}
