import { createServer, type IncomingMessage, type ServerResponse } from 'node:http'
import { createServer as createTlsServer } from 'node:https'
import type { AddressInfo, Server } from 'node:net'
import { EvenpullError } from '../../shared/errors.ts'
import { clientOf } from '../access/cookie.ts'
import type { StreamHub } from '../stream/hub.ts'
import { refuseUpgrade } from '../stream/upgrade.ts'
import { readJsonBody } from './body.ts'
import { type HostPolicy, hostPolicy } from './host-policy.ts'
import { type RateLimit, rateLimit } from './rate-limit.ts'
import { HttpRefusal, refusalFor } from './refusal.ts'
import { type Answer, hasBody, refusalAnswer, routeAnswer, sendAnswer, staticAnswer } from './respond.ts'
import { type GatewaySources, type Route, whatIsAsked } from './route.ts'
import { findRoutes, methodsOf, type RouteMatch } from './router.ts'
import { routeTable } from './routes/table.ts'
import { signed } from './signed.ts'
import { StaticFiles } from './static-files.ts'
import { StreamedBody, sendStream } from './streamed-body.ts'
import type { TlsIdentity } from './tls.ts'

const PAGE_METHODS = 'GET, HEAD'
const MAX_HEADER_BYTES = 16 * 1024
const MAX_CONNECTIONS = 512
const HANDSHAKE_MS = 10_000

const LIMITS = {
  maxHeaderSize: MAX_HEADER_BYTES,
  headersTimeout: 10_000,
  requestTimeout: 15_000,
  keepAliveTimeout: 5_000,
  connectionsCheckingInterval: 5_000,
  // Missing Host is refused by our own check, in our own form.
  requireHostHeader: false,
} as const

export interface GatewayServerOptions {
  /** Folder of the built dashboard. */
  readonly staticRoot: string
  readonly hub: StreamHub
  readonly sources: GatewaySources
  readonly log: (message: string) => void
  /** Version of the product, for the OpenAPI document. */
  readonly version: string
  /** Monotonic milliseconds, for rate limits. */
  readonly nowMs: () => number
  /** Default: what `hostPolicy` makes of the host bound to. */
  readonly policy?: HostPolicy
  /** Speaks HTTPS with this, and nothing else on the port. */
  readonly tls?: TlsIdentity
}

export interface GatewayServer {
  /** Binds this address on purpose; port 0 takes a free one. Rejects with EVP_PORT_TAKEN. */
  listen(host: string, port: number): Promise<{ host: string; port: number }>
  /** Ends listening and what is idle, and waits for the rest; the hub is closed by its owner, before. */
  close(): Promise<void>
}

/** One port for the dashboard, the API, the metrics and the stream. */
export function createGatewayServer(options: GatewayServerOptions): GatewayServer {
  const handler = new RequestHandler(options)
  const listener = (req: IncomingMessage, res: ServerResponse) => void handler.handle(req, res)
  const server =
    options.tls === undefined
      ? createServer(LIMITS, listener)
      : createTlsServer({ ...LIMITS, ...options.tls, handshakeTimeout: HANDSHAKE_MS }, listener)
  server.maxConnections = MAX_CONNECTIONS
  server.on('upgrade', (req, socket, head) => options.hub.handleUpgrade(req, socket, head))
  server.on('clientError', (error: NodeJS.ErrnoException, socket) => {
    // Refused already: the parser stumbles again over what still comes in.
    if (socket.writableEnded) return
    if (error.code === 'ECONNRESET') socket.destroy()
    else refuseUpgrade(socket, clientErrorRefusal(error))
  })
  return {
    async listen(host, port) {
      handler.policy = options.policy ?? hostPolicy(host)
      const address = await bind(server, host, port)
      return { host: address.address, port: address.port }
    },
    close: () =>
      new Promise((resolve) => {
        server.close(() => resolve())
        server.closeIdleConnections()
        setTimeout(() => server.closeAllConnections(), 1000).unref()
      }),
  }
}

function bind(server: Server, host: string, port: number): Promise<AddressInfo> {
  return new Promise((resolve, reject) => {
    const failed = (error: NodeJS.ErrnoException) => reject(bindError(error, host, port))
    server.once('error', failed)
    server.listen({ host, port, exclusive: true }, () => {
      server.off('error', failed)
      resolve(server.address() as AddressInfo)
    })
  })
}

function bindError(error: NodeJS.ErrnoException, host: string, port: number): Error {
  if (error.code === 'EADDRINUSE')
    return new EvenpullError('EVP_PORT_TAKEN', `port ${port} at ${host} is taken`, { cause: error })
  if (error.code === 'EACCES')
    return new EvenpullError('EVP_PORT_TAKEN', `this user may not open port ${port} at ${host}`, {
      cause: error,
      remedy: 'Choose a port of 1024 or above with --port.',
    })
  if (error.code === 'EADDRNOTAVAIL' || error.code === 'ENOTFOUND')
    return new EvenpullError('EVP_USAGE', `${host} is not an address of this machine`, {
      cause: error,
      remedy: 'Bind to 127.0.0.1, or to an address this machine has.',
    })
  return error
}

/** What the HTTP parser could not read, or what took too long. */
function clientErrorRefusal(error: NodeJS.ErrnoException): { status: number; error: EvenpullError } {
  if (error.code === 'HPE_HEADER_OVERFLOW')
    return {
      status: 431,
      error: new EvenpullError('EVP_TOO_LARGE', `headers are limited to ${MAX_HEADER_BYTES} bytes`),
    }
  if (error.code === 'ERR_HTTP_REQUEST_TIMEOUT')
    return { status: 408, error: new EvenpullError('EVP_REQUEST_INVALID', 'the request did not arrive in time') }
  return { status: 400, error: new EvenpullError('EVP_REQUEST_INVALID', 'this is not an HTTP request') }
}

/** From request to answer. */
class RequestHandler {
  /** Nobody is answered before the address is known. */
  policy: HostPolicy | null = null
  readonly #options: GatewayServerOptions
  readonly #routes: readonly Route[]
  readonly #files: StaticFiles
  readonly #limits = new Map<Route, RateLimit>()

  constructor(options: GatewayServerOptions) {
    this.#options = options
    this.#routes = routeTable(options.version)
    this.#files = new StaticFiles(options.staticRoot)
    for (const route of this.#routes) if (route.perSecond !== null) this.#limits.set(route, rateLimit(route.perSecond))
  }

  async handle(req: IncomingMessage, res: ServerResponse): Promise<void> {
    res.on('error', (error) => this.#options.log(`http: ${error.message}`))
    try {
      const answer = await this.#answer(req)
      if (answer instanceof StreamedBody) await this.#stream(req, res, answer)
      else sendAnswer(req, res, answer)
    } catch (thrown) {
      const refusal = refusalFor(thrown)
      if (refusal.status === 500) this.#options.log(`http: ${req.method} ${req.url}: ${stackOf(thrown)}`)
      // Begun already: a second answer cannot be sent, and what was sent must not be taken for whole.
      if (res.headersSent) res.destroy()
      else sendAnswer(req, res, refusalAnswer(refusal))
    }
  }

  /** A long file ends with what its reader may do, like his sockets. */
  async #stream(req: IncomingMessage, res: ServerResponse, body: StreamedBody): Promise<void> {
    const { access } = this.#options.sources
    const caller = access.callerOf(req.headers, clientOf(req))
    const endIfOut = () => {
      if (!access.isCurrent(caller)) res.destroy()
    }
    const forget = access.onChange(endIfOut)
    try {
      endIfOut()
      await sendStream(req, res, body)
    } finally {
      forget()
    }
  }

  async #answer(req: IncomingMessage): Promise<Answer | StreamedBody> {
    if (this.policy?.hostNamed(req.headers.host) !== true)
      throw new HttpRefusal(403, new EvenpullError('EVP_ORIGIN_REFUSED', 'the Host header does not name this gateway'))
    const { path, query } = splitUrl(req.url ?? '')
    const matches = findRoutes(this.#routes, path)
    const method = req.method === 'HEAD' ? 'GET' : req.method
    const match = matches.find(({ route }) => route.method === method)
    if (match !== undefined) return this.#routed(req, match, query())
    const allowed = methodsOf(matches) || PAGE_METHODS
    if (method !== 'GET' || matches.length > 0)
      throw new HttpRefusal(
        405,
        new EvenpullError('EVP_REQUEST_INVALID', `expected one of ${allowed}, got ${req.method}`),
        { allow: allowed },
      )
    refuseBody(req)
    if (path === '/api' || path.startsWith('/api/')) throw notFound(path)
    return this.#page(req, path)
  }

  async #routed(
    req: IncomingMessage,
    { route, params }: RouteMatch,
    query: Record<string, string>,
  ): Promise<Answer | StreamedBody> {
    if (route.body === undefined) refuseBody(req)
    if (route.method === 'GET') refuseStrangePage(req)
    else this.#checkOrigin(req)
    const { sources } = this.#options
    const client = clientOf(req)
    const caller = sources.access.callerOf(req.headers, client)
    sources.access.require(caller, route.needs, whatIsAsked(route), client)
    this.#checkRate(route, client.address)
    const body = route.body === undefined ? undefined : await readJsonBody(req, route.body.maxBytes)
    const sent = signed(route, body, caller)
    const header = (name: string) => headerOf(req, name)
    const told = await route.answer({ params, query, body: sent, sent, caller, client, header, sources })
    return told instanceof StreamedBody ? told : routeAnswer(route, told)
  }

  /** A browser says in Origin, and most in Sec-Fetch-Site, whose page sends a body. */
  #checkOrigin({ headers }: IncomingMessage): void {
    if (
      isOurSite(headers) &&
      this.policy?.originAllowed(headers.origin, headers.host, headers.authorization !== undefined) === true
    )
      return
    const from = JSON.stringify((headers.origin ?? 'nowhere').slice(0, 80))
    throw new EvenpullError('EVP_ORIGIN_REFUSED', `a page of ${from} may not send this`)
  }

  async #page(req: IncomingMessage, path: string): Promise<Answer> {
    const wantsPage = (req.headers.accept ?? '').includes('text/html')
    try {
      const file = await this.#files.find(path)
      if (file !== null) return staticAnswer(req, file, 200)
      const missing = wantsPage ? await this.#files.notFoundPage() : null
      if (missing !== null) return staticAnswer(req, missing, 404)
    } catch (thrown) {
      if (wantsPage && thrown instanceof EvenpullError) return refusalAnswer(refusalFor(thrown), 'html')
      throw thrown
    }
    throw notFound(path)
  }

  #checkRate(route: Route, client: string): void {
    const limit = this.#limits.get(route)
    if (limit === undefined || limit(client, this.#options.nowMs())) return
    const error = new EvenpullError('EVP_TOO_MANY', `at most ${route.perSecond} requests a second to ${route.path}`)
    throw new HttpRefusal(429, error, { 'retry-after': '1' })
  }
}

/** One value of it; a header that is given twice is nobody's. */
function headerOf({ headers }: IncomingMessage, name: string): string | null {
  const value = headers[name]
  return typeof value === 'string' ? value : null
}

function refuseBody(req: IncomingMessage): void {
  if (hasBody(req)) throw new EvenpullError('EVP_TOO_LARGE', 'this request takes no body: the limit is 0 bytes')
}

/** As a browser says it; absent from what is none, and from a browser over plain HTTP to another machine. */
function isOurSite(headers: IncomingMessage['headers']): boolean {
  const site = headers['sec-fetch-site']
  return site === undefined || site === 'same-origin' || site === 'none'
}

/**
 * An image of a stranger's page asks with GET, without Origin. It sees no answer; but where nobody has to log in it would
 * have a device read, or samples taken away under nobody's name. What is logged in is safe by its cookie's SameSite.
 */
function refuseStrangePage({ headers }: IncomingMessage): void {
  if (!isOurSite(headers))
    throw new EvenpullError('EVP_ORIGIN_REFUSED', 'a page of another address may not ask for this')
}

const notFound = (path: string) =>
  new EvenpullError('EVP_NOT_FOUND', `nothing at ${JSON.stringify(path.slice(0, 200))}`)

/** Path as sent, and the query as an object. Throws EVP_REQUEST_INVALID on a key given twice. */
function splitUrl(url: string): { path: string; query: () => Record<string, string> } {
  if (!url.startsWith('/')) throw new EvenpullError('EVP_REQUEST_INVALID', 'expected a path that begins with /')
  const at = url.indexOf('?')
  const path = at < 0 ? url : url.slice(0, at)
  const query = () => {
    const pairs = [...new URLSearchParams(at < 0 ? '' : url.slice(at + 1))]
    const record = Object.fromEntries(pairs)
    if (Object.keys(record).length !== pairs.length)
      throw new EvenpullError('EVP_REQUEST_INVALID', 'query: a key is given twice')
    return record
  }
  return { path, query }
}

const stackOf = (thrown: unknown): string =>
  thrown instanceof Error ? (thrown.stack ?? thrown.message) : String(thrown)
