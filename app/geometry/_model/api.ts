import { z } from 'zod'
import { changeWritten, geometryView, type ZoneFacts } from '../../../shared/schemas/config-write.ts'
import { errorBody } from '../../../shared/schemas/health.ts'
import type { Drawing } from './rollers.ts'

/** What the gateway holds of a zone's geometry. */
export interface Held {
  readonly geometry: Drawing | null
  readonly revision: string
  readonly zone: ZoneFacts
}

/** A refusal as it is shown: what happened and what to do. */
export interface Failure {
  readonly code: string
  readonly message: string
  readonly remedy: string
}

export type Answer<T> =
  | { readonly ok: true; readonly value: T }
  | { readonly ok: false; readonly failures: readonly Failure[] }

const refusal = z.union([
  errorBody.transform((error) => [error]),
  z.object({ error: errorBody }).transform(({ error }) => [error]),
  z.object({ errors: z.array(errorBody).min(1) }).transform(({ errors }) => errors),
])

const urlOf = (zone: string): string => `/api/zones/${encodeURIComponent(zone)}/geometry`

/** Reads a zone's geometry. Never throws but when `signal` aborts it. */
export async function loadGeometry(zone: string, signal: AbortSignal): Promise<Answer<Held>> {
  const answer = await ask(urlOf(zone), { signal })
  if (!answer.ok) return answer
  const parsed = geometryView.safeParse(answer.value)
  if (!parsed.success) return notUnderstood()
  // The text before defaults: what nobody wrote is not written on the next save either.
  const { geometry } = answer.value as { geometry: Drawing | null }
  return { ok: true, value: { geometry, revision: parsed.data.revision, zone: parsed.data.zone } }
}

/** Writes a zone's geometry as a revision of the file; the answer is the revision now in it. */
export async function saveGeometry(
  zone: string,
  change: { readonly geometry: Drawing; readonly who: string; readonly baseRevision: string },
): Promise<Answer<string>> {
  const answer = await ask(urlOf(zone), {
    method: 'PUT',
    headers: { 'content-type': 'application/json' },
    body: JSON.stringify(change),
  })
  if (!answer.ok) return answer
  const parsed = changeWritten.safeParse(answer.value)
  return parsed.success ? { ok: true, value: parsed.data.revision } : notUnderstood()
}

async function ask(url: string, init: RequestInit): Promise<Answer<unknown>> {
  let response: Response
  try {
    response = await fetch(url, { cache: 'no-store', ...init })
  } catch (error) {
    if (init.signal?.aborted) throw error
    return failed(
      'no-gateway',
      'The gateway did not answer.',
      'Check that it runs and that this page can reach it; what you drew is kept in this browser.',
    )
  }
  const body: unknown = await response.json().catch(() => null)
  if (response.ok) return { ok: true, value: body }
  const told = refusal.safeParse(body)
  if (told.success) return { ok: false, failures: told.data }
  return failed(
    `HTTP ${response.status}`,
    `The gateway refused (HTTP ${response.status}).`,
    'Reload the page: the gateway may have been updated. What you drew is kept in this browser.',
  )
}

const notUnderstood = <T>(): Answer<T> =>
  failed(
    'not-understood',
    'The answer of the gateway was not understood.',
    'Reload the page: it may have been updated.',
  )

function failed<T>(code: string, message: string, remedy: string): Answer<T> {
  return { ok: false, failures: [{ code, message, remedy }] }
}
