import { z } from 'zod'
import { ERROR_CATALOGUE } from '../../../shared/errors.ts'
import { errorBody } from '../../../shared/schemas/health.ts'
import { type RegisterView, type RegisterViewQuery, registerView } from '../../../shared/schemas/register-view.ts'
import { registersUrl } from './register-query.ts'

/** A refusal as it is shown: what happened and what to do. */
export interface ReadFailure {
  readonly code: string
  readonly message: string
  readonly remedy: string
  /** The Modbus exception, when the device refused. */
  readonly exceptionCode?: number | undefined
}

export type ReadResult =
  | { readonly ok: true; readonly view: RegisterView }
  | { readonly ok: false; readonly failure: ReadFailure }

const refusal = z.union([errorBody, z.object({ error: errorBody }).transform(({ error }) => error)])

/** One read through the gateway. Never throws but when `signal` aborts it. */
export async function readRegisters(query: RegisterViewQuery, signal: AbortSignal): Promise<ReadResult> {
  let response: Response
  try {
    response = await fetch(registersUrl(query), { signal, headers: { accept: 'application/json' }, cache: 'no-store' })
  } catch (error) {
    if (signal.aborted) throw error
    return failed(
      'no-gateway',
      'The gateway did not answer.',
      'Check that it runs and that this page can reach it; then read again.',
    )
  }
  const body: unknown = await response.json().catch(() => null)
  if (response.ok) {
    const parsed = registerView.safeParse(body)
    if (parsed.success) return { ok: true, view: parsed.data }
    return failed(
      'not-understood',
      'The answer of the gateway was not understood.',
      'Reload the page: the gateway may have been updated.',
    )
  }
  const told = refusal.safeParse(body)
  if (told.success) return { ok: false, failure: told.data }
  return failed(
    `HTTP ${response.status}`,
    `The gateway refused the read (HTTP ${response.status}).`,
    ERROR_CATALOGUE.EVP_REQUEST_INVALID,
  )
}

function failed(code: string, message: string, remedy: string): ReadResult {
  return { ok: false, failure: { code, message, remedy } }
}
