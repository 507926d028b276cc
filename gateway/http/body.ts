import type { IncomingMessage } from 'node:http'
import { EvenpullError } from '../../shared/errors.ts'
import { HttpRefusal } from './refusal.ts'

/** Deepest nesting of a body; what we take nests a handful of levels. */
const MAX_DEPTH = 32

/**
 * Reads a JSON body of at most `maxBytes`. Throws EVP_TOO_LARGE (413), and EVP_REQUEST_INVALID: 415 for
 * another type than application/json (which is what makes a browser ask before it sends one across sites),
 * 400 for what is not UTF-8, not JSON, nested absurdly or names `__proto__`.
 */
export async function readJsonBody(req: IncomingMessage, maxBytes: number): Promise<unknown> {
  requireJson(req)
  const text = decoded(await bytesOf(req, maxBytes))
  let value: unknown
  try {
    value = JSON.parse(text, refusePrototype)
  } catch (error) {
    if (error instanceof EvenpullError) throw error
    throw invalid(`the body is not JSON: ${error instanceof Error ? error.message.slice(0, 200) : 'unreadable'}`)
  }
  if (isDeeper(value, MAX_DEPTH)) throw invalid(`the body nests deeper than ${MAX_DEPTH} levels`)
  return value
}

const invalid = (message: string) => new EvenpullError('EVP_REQUEST_INVALID', message)

function requireJson({ headers }: IncomingMessage): void {
  const type = headers['content-type'] ?? ''
  const refuse = (message: string) => new HttpRefusal(415, invalid(message))
  if (!/^application\/json\s*(;\s*charset\s*=\s*"?utf-8"?\s*)?$/i.test(type))
    throw refuse(`expected content-type application/json, got ${JSON.stringify(type.slice(0, 80))}`)
  if ((headers['content-encoding'] ?? 'identity') !== 'identity') throw refuse('expected a body that is not compressed')
}

async function bytesOf(req: IncomingMessage, maxBytes: number): Promise<Buffer> {
  const tooLarge = () => new EvenpullError('EVP_TOO_LARGE', `a body here is limited to ${maxBytes} bytes`)
  if (Number(req.headers['content-length'] ?? 0) > maxBytes) throw tooLarge()
  const chunks: Buffer[] = []
  let total = 0
  for await (const chunk of req as AsyncIterable<Buffer>) {
    total += chunk.length
    if (total > maxBytes) throw tooLarge()
    chunks.push(chunk)
  }
  return Buffer.concat(chunks)
}

function decoded(bytes: Buffer): string {
  try {
    return new TextDecoder('utf-8', { fatal: true }).decode(bytes)
  } catch {
    throw invalid('the body is not UTF-8')
  }
}

function refusePrototype(key: string, value: unknown): unknown {
  if (key === '__proto__') throw invalid('the body names __proto__')
  return value
}

/** Without recursion, so that no body decides how deep our stack goes. */
function isDeeper(value: unknown, depth: number): boolean {
  let level: unknown[] = [value]
  for (let deep = 0; deep <= depth; deep++) {
    level = level.flatMap((item) => (typeof item === 'object' && item !== null ? Object.values(item) : []))
    if (level.length === 0) return false
  }
  return true
}
