import { z } from 'zod'
import { ERROR_CATALOGUE } from '../../shared/errors.ts'
import { errorBody } from '../../shared/schemas/health.ts'

/** A refusal as it is shown: what happened and what to do. */
export interface Failure {
  readonly code: string
  readonly message: string
  readonly remedy: string
}

export interface Asking {
  readonly method?: string
  readonly body?: unknown
  readonly signal?: AbortSignal
  /** Beside the content type of a body. */
  readonly headers?: Readonly<Record<string, string>>
}

export type Answer<T> = { readonly ok: true; readonly value: T } | Refused

/** One refusal may have several reasons (every error of a config); `failure` is the first. */
interface Refused {
  readonly ok: false
  readonly failure: Failure
  readonly failures: readonly Failure[]
}

const refusal = z.union([
  z.object({ errors: z.array(errorBody).min(1) }).transform(({ errors }) => errors),
  errorBody.transform((error) => [error]),
])

/**
 * Asks the gateway for JSON of this schema, sending `body` as JSON where there is one; whether anybody is logged in or
 * not. Throws only when aborted.
 */
export async function askNow<Schema extends z.ZodType>(
  path: string,
  schema: Schema,
  { method = 'GET', body, signal, headers = {} }: Asking = {},
): Promise<Answer<z.output<Schema>>> {
  const sent =
    body === undefined
      ? { headers }
      : { body: JSON.stringify(body), headers: { ...headers, 'content-type': 'application/json' } }
  let response: Response
  try {
    response = await fetch(path, { method, cache: 'no-store', signal: signal ?? null, ...sent })
  } catch (error) {
    if (signal?.aborted) throw error
    return failed(
      'no-gateway',
      'The gateway did not answer.',
      'Check that it runs, then try again; what you typed is kept.',
    )
  }
  const told: unknown = await response.json().catch(() => null)
  if (response.ok) {
    const parsed = schema.safeParse(told)
    if (parsed.success) return { ok: true, value: parsed.data }
    return failed(
      'not-understood',
      'The answer of the gateway was not understood.',
      'Reload the page: it may have been updated.',
    )
  }
  const reasons = refusal.safeParse(told)
  if (reasons.success) return refused(reasons.data)
  return failed(
    `HTTP ${response.status}`,
    `The gateway refused (HTTP ${response.status}).`,
    ERROR_CATALOGUE.EVP_REQUEST_INVALID,
  )
}

const failed = (code: string, message: string, remedy: string): Refused => refused([{ code, message, remedy }])

function refused(failures: readonly Failure[]): Refused {
  const [failure] = failures
  if (failure === undefined) throw new RangeError('a refusal has a reason')
  return { ok: false, failure, failures }
}
