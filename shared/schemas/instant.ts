import { z } from 'zod'

/** An instant in a query, epoch ms: written so, or as ISO 8601 with Z or an offset. */
export const instant = z.preprocess(
  (text) => (typeof text === 'string' ? instantMs(text) : text),
  z.number({ error: 'expected epoch ms, or ISO 8601 with Z or an offset' }),
)

/** NaN for what is neither. */
function instantMs(text: string): number {
  if (/^\d{1,15}(\.\d+)?$/.test(text)) return Number(text)
  return /^\d{4}-\d\d-\d\dT\d\d:\d\d(:\d\d(\.\d+)?)?(Z|[+-]\d\d:\d\d)$/.test(text) ? Date.parse(text) : Number.NaN
}
