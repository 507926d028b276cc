import { monotonicMs } from '../../shared/brand.ts'
import { EvenpullError } from '../../shared/errors.ts'
import type { RawReading } from '../../shared/sample.ts'
import type { TransportAnswer } from '../transports/transport.ts'
import { gapCode, isIllegalAddress } from './failures.ts'
import { type RequestPart, splitRequest } from './split.ts'
import type { DevicePlan, PlannedRequest } from './types.ts'

/** One request as it went over the line. */
export type Asked =
  | { readonly ok: true; readonly answer: TransportAnswer }
  | { readonly ok: false; readonly error: EvenpullError; readonly startMs: number; readonly endMs: number }

export type Ask = (request: PlannedRequest) => Promise<Asked>

export interface ReadOutcome {
  readonly reading: RawReading
  /** Every word that was asked for came. */
  readonly whole: boolean
  /** What went wrong, newest last; may stand beside an answer that holds part of the words. */
  readonly errors: readonly EvenpullError[]
}

/**
 * Reads one planned request, tick after tick. When the device refuses it as an illegal address it
 * is replaced by smaller ones from the next tick on; the reading keeps the index and the word
 * layout of the plan, with null where nothing was read, so that nobody further on needs to know.
 */
export class RequestReader {
  readonly #deviceId: string
  readonly #index: number
  readonly #planned: PlannedRequest
  readonly #pairs: DevicePlan['pairs']
  #parts: readonly RequestPart[]

  constructor(plan: DevicePlan, index: number, planned: PlannedRequest) {
    this.#deviceId = plan.device.id
    this.#index = index
    this.#planned = planned
    this.#pairs = plan.pairs
    this.#parts = [{ request: planned, at: 0 }]
  }

  /** What is asked now: the planned request, or the smaller ones that took its place. */
  get requests(): readonly PlannedRequest[] {
    return this.#parts.map((part) => part.request)
  }

  async read(ask: Ask): Promise<ReadOutcome> {
    const results: PartResult[] = []
    for (const part of this.#parts) results.push({ part, asked: await ask(part.request) })
    const splits = this.#splitRefused(results)
    const errors = [...results.flatMap(problemsOf), ...splits]
    return { reading: this.#combine(results), whole: errors.length === 0, errors }
  }

  /** The lack of an answer, without asking: the request is known to fail with `error` just now. */
  gap(error: EvenpullError, startMs: number, endMs: number): RawReading {
    return {
      kind: 'gap',
      deviceId: this.#deviceId,
      request: this.#index,
      ...middleOf(startMs, endMs),
      code: gapCode(error),
      errorCode: error.code,
      detail: error.message,
    }
  }

  #splitRefused(results: readonly PartResult[]): EvenpullError[] {
    const said: EvenpullError[] = []
    this.#parts = results.flatMap(({ part, asked }) => {
      if (asked.ok || !isIllegalAddress(asked.error)) return [part]
      const smaller = splitRequest(part.request, this.#pairs)
      if (smaller === null) return [part]
      said.push(splitNotice(part.request, smaller, asked.error))
      return smaller.map(({ request, at }) => ({ request, at: at + part.at }))
    })
    return said
  }

  #combine(results: readonly PartResult[]): RawReading {
    const answers = results.flatMap(({ part, asked }) => (asked.ok ? [{ at: part.at, answer: asked.answer }] : []))
    if (answers.length === 0) return this.#allFailed(results)
    const words = new Array<number | null>(this.#planned.count).fill(null)
    for (const { at, answer } of answers) for (const [i, word] of answer.words.entries()) words[at + i] = word
    const start = Math.min(...answers.map(({ answer }) => answer.tMs - answer.halfWidthMs))
    const end = Math.max(...answers.map(({ answer }) => answer.tMs + answer.halfWidthMs))
    return { kind: 'answer', deviceId: this.#deviceId, request: this.#index, ...middleOf(start, end), words }
  }

  #allFailed(results: readonly PartResult[]): RawReading {
    const failures = results.flatMap(({ asked }) => (asked.ok ? [] : [asked]))
    const [first] = failures
    if (first === undefined)
      throw new EvenpullError('EVP_INTERNAL', `device ${this.#deviceId}: a request without parts`)
    return this.gap(first.error, first.startMs, failures.at(-1)?.endMs ?? first.endMs)
  }
}

interface PartResult {
  readonly part: RequestPart
  readonly asked: Asked
}

function problemsOf({ asked }: PartResult): readonly EvenpullError[] {
  return asked.ok ? (asked.answer.problems ?? []) : [asked.error]
}

function middleOf(startMs: number, endMs: number) {
  return { tMs: monotonicMs((startMs + endMs) / 2), halfWidthMs: (endMs - startMs) / 2 }
}

function splitNotice(request: PlannedRequest, parts: readonly RequestPart[], cause: EvenpullError): EvenpullError {
  return new EvenpullError(
    'EVP_MODBUS_EXCEPTION',
    `unit ${request.unitId}, function ${request.function}: registers ${rangeOf(request)} were refused together (illegal data address); they are now read as ${parts.map((part) => rangeOf(part.request)).join(', ')}`,
    { cause },
  )
}

function rangeOf({ address, count }: PlannedRequest): string {
  const first = address ?? 0
  return count === 1 ? `${first}` : `${first}–${first + count - 1}`
}
