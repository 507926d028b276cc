import type { IncomingMessage, ServerResponse } from 'node:http'
import type { Refusal } from './refusal.ts'
import { type Route, WithHeaders } from './route.ts'
import { DATA_POLICY, SECURITY_HEADERS } from './security-headers.ts'
import type { StaticFile } from './static-files.ts'

/** A whole answer; what we send is small or already in memory. */
export interface Answer {
  readonly status: number
  readonly headers: Readonly<Record<string, string>>
  /** null: the status says it all (304). */
  readonly body: Buffer | null
}

const JSON_TYPE = 'application/json; charset=utf-8'
const DATA_HEADERS = { 'content-security-policy': DATA_POLICY, 'cache-control': 'no-store' } as const

export function routeAnswer(route: Route, told: unknown): Answer {
  const { response } = route
  const { body, headers } = told instanceof WithHeaders ? told : new WithHeaders(told, {})
  const contentType = response.kind === 'text' ? response.contentType : JSON_TYPE
  const bytes =
    body instanceof Uint8Array
      ? Buffer.from(body)
      : Buffer.from(response.kind === 'text' ? String(body) : JSON.stringify(body))
  return { status: 200, headers: { ...DATA_HEADERS, 'content-type': contentType, ...headers }, body: bytes }
}

/** A refusal as the catalogue's body, or as a plain page for a person's browser. */
export function refusalAnswer({ status, error, headers }: Refusal, form: 'json' | 'html' = 'json'): Answer {
  const body = form === 'json' ? JSON.stringify(error) : refusalPage(error.message, error.remedy)
  const contentType = form === 'json' ? JSON_TYPE : 'text/html; charset=utf-8'
  return { status, headers: { ...DATA_HEADERS, 'content-type': contentType, ...headers }, body: Buffer.from(body) }
}

function refusalPage(message: string, remedy: string): string {
  return `<!doctype html>\n<html lang="en">\n<meta charset="utf-8">\n<title>Evenpull</title>\n<p>${escapeHtml(message)}</p>\n<p>${escapeHtml(remedy)}</p>\n</html>\n`
}

function escapeHtml(text: string): string {
  return text.replaceAll('&', '&amp;').replaceAll('<', '&lt;').replaceAll('>', '&gt;').replaceAll('"', '&quot;')
}

/** A file, or 304 when the browser holds this very version. */
export function staticAnswer(req: IncomingMessage, file: StaticFile, status: number): Answer {
  if (status === 200 && holds(req.headers['if-none-match'], file.etag))
    return { status: 304, headers: file.headers, body: null }
  return { status, headers: file.headers, body: file.bytes }
}

/** RFC 9110, 13.1.2: a list of tags or `*`, compared weakly. */
function holds(ifNoneMatch: string | undefined, etag: string): boolean {
  if (ifNoneMatch === undefined) return false
  const tags = ifNoneMatch.split(',').map((tag) => tag.trim().replace(/^W\//, ''))
  return tags.includes('*') || tags.includes(etag)
}

/** Sends an answer; HEAD gets the same headers without the body. */
export function sendAnswer(req: IncomingMessage, res: ServerResponse, answer: Answer): void {
  for (const [name, value] of Object.entries({ ...SECURITY_HEADERS, ...answer.headers })) res.setHeader(name, value)
  // A body nobody reads must not be taken for the next request.
  if (hasBody(req) && !req.readableEnded) res.setHeader('connection', 'close')
  if (answer.body === null) {
    res.writeHead(answer.status).end()
    return
  }
  res.setHeader('content-length', answer.body.length)
  res.writeHead(answer.status)
  res.end(req.method === 'HEAD' ? undefined : answer.body)
}

/** Whether the request announces a body. */
export function hasBody(req: IncomingMessage): boolean {
  return req.headers['transfer-encoding'] !== undefined || (req.headers['content-length'] ?? '0') !== '0'
}
