import type { z } from 'zod'
import { refreshSession, whenLetIn } from './access/session.ts'
import { type Answer, type Asking, askNow } from './ask-now.ts'

export type { Answer, Asking, Failure } from './ask-now.ts'

/**
 * Asks the gateway for JSON of this schema, sending `body` as JSON where there is one. Where a log-in is needed it waits
 * for that; where the session has ended meanwhile, the page says so. Throws only when aborted.
 */
export async function askGateway<Schema extends z.ZodType>(
  path: string,
  schema: Schema,
  asking: Asking = {},
): Promise<Answer<z.output<Schema>>> {
  await whenLetIn()
  asking.signal?.throwIfAborted()
  const answer = await askNow(path, schema, asking)
  if (!answer.ok && answer.failure.code === 'EVP_LOGIN_NEEDED') await refreshSession()
  return answer
}
