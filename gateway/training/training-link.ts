import { readFile } from 'node:fs/promises'
import { dirname, resolve } from 'node:path'
import { ERROR_CATALOGUE, type ErrorCode, EvenpullError } from '../../shared/errors.ts'
import type { Config } from '../../shared/schemas/config.ts'
import { errorBody } from '../../shared/schemas/error-body.ts'
import { INSTRUCTOR_KEY_HEADER, INSTRUCTOR_ROLE_HEADER } from '../../shared/schemas/training.ts'

/** What is asked of the training desk. */
export interface TrainingAsk {
  readonly method: 'GET' | 'POST'
  /** Path with its query. */
  readonly path: string
  readonly body?: unknown
  /** Who asks for what only an instructor may see: an engineer who is logged in, or a key as it was sent. */
  readonly instructor?: 'engineer' | { readonly key: string | null } | undefined
}

/** A fresh machine for a drawn fault takes the longest: it is tried out on twins first. */
const LONGEST_MS = 120_000

/** Hands requests on to the training desk of a simulated machine. What the desk knows beyond its answers stays there. */
export class TrainingLink {
  readonly #configPath: string
  readonly #config: () => Config

  constructor(configPath: string, config: () => Config) {
    this.#configPath = configPath
    this.#config = config
  }

  /**
   * The desk's answer. Rejects with EVP_TRAINING_OFF where the config names no desk, EVP_TRAINING_UNREACHABLE where it
   * does not answer, and with the desk's own refusals.
   */
  async ask({ method, path, body, instructor }: TrainingAsk): Promise<unknown> {
    const { training } = this.#config()
    if (training === undefined)
      throw new EvenpullError('EVP_TRAINING_OFF', 'this gateway looks after a machine, not after a training one')
    const secret = await this.#secret(training.secret_file)
    const headers = {
      authorization: `Bearer ${secret}`,
      ...(body === undefined ? {} : { 'content-type': 'application/json' }),
      ...headersOf(instructor),
    }
    const sent = body === undefined ? {} : { body: JSON.stringify(body) }
    const response = await answered(fetch(training.url + path, { method, headers, ...sent, signal: timeout() }))
    const told = await answered(response.json())
    if (!response.ok) throw refusalOf(told)
    return told
  }

  async #secret(file: string): Promise<string> {
    const path = resolve(dirname(this.#configPath), file)
    try {
      return (await readFile(path, 'utf8')).trim()
    } catch (cause) {
      const reason = (cause as NodeJS.ErrnoException).code ?? 'unknown'
      throw new EvenpullError('EVP_TRAINING_UNREACHABLE', `training.secret_file cannot be read: ${reason}`, { cause })
    }
  }
}

const timeout = () => AbortSignal.timeout(LONGEST_MS)

function headersOf(instructor: TrainingAsk['instructor']): Record<string, string> {
  if (instructor === undefined) return {}
  if (instructor === 'engineer') return { [INSTRUCTOR_ROLE_HEADER]: 'engineer' }
  return instructor.key === null ? {} : { [INSTRUCTOR_KEY_HEADER]: instructor.key }
}

async function answered<T>(asked: Promise<T>): Promise<T> {
  try {
    return await asked
  } catch (cause) {
    const reason = cause instanceof Error ? cause.message : String(cause)
    throw new EvenpullError('EVP_TRAINING_UNREACHABLE', `the training desk does not answer: ${reason}`, { cause })
  }
}

/** The desk's own refusal; that it did not take our secret is between it and us. */
function refusalOf(told: unknown): EvenpullError {
  const { data } = errorBody.safeParse(told)
  const isKnown = data !== undefined && Object.hasOwn(ERROR_CATALOGUE, data.code)
  if (!isKnown || data.code === 'EVP_LOGIN_NEEDED' || data.code === 'EVP_INTERNAL')
    return new EvenpullError('EVP_TRAINING_UNREACHABLE', 'the training desk could not answer')
  return new EvenpullError(data.code as ErrorCode, data.message)
}
