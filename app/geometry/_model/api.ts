import { z } from 'zod'
import { changeWritten, geometryView, type ZoneFacts } from '../../../shared/schemas/config-write.ts'
import { type Answer, askGateway } from '../../_ui/ask.ts'
import type { Drawing } from './rollers.ts'

/** What the gateway holds of a zone's geometry. */
export interface Held {
  readonly geometry: Drawing | null
  readonly revision: string
  readonly zone: ZoneFacts
}

/** The geometry as it was written, before defaults: what nobody wrote is not written on the next save either. */
const asWritten = z.unknown().transform((told, context): Held => {
  const parsed = geometryView.safeParse(told)
  if (!parsed.success) {
    context.addIssue({ code: 'custom', message: 'not a geometry' })
    return z.NEVER
  }
  const { geometry } = told as { geometry: Drawing | null }
  return { geometry, revision: parsed.data.revision, zone: parsed.data.zone }
})

const urlOf = (zone: string): string => `/api/zones/${encodeURIComponent(zone)}/geometry`

/** Reads a zone's geometry. Never throws but when `signal` aborts it. */
export const loadGeometry = (zone: string, signal: AbortSignal): Promise<Answer<Held>> =>
  askGateway(urlOf(zone), asWritten, { signal })

/** Writes a zone's geometry as a revision of the file; the answer is the revision now in it. */
export async function saveGeometry(
  zone: string,
  change: { readonly geometry: Drawing; readonly who: string; readonly baseRevision: string },
): Promise<Answer<string>> {
  const answer = await askGateway(urlOf(zone), changeWritten, { method: 'PUT', body: change })
  return answer.ok ? { ok: true, value: answer.value.revision } : answer
}
