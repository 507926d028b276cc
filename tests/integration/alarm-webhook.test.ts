import { createServer, type IncomingMessage, type Server, type ServerResponse } from 'node:http'
import type { AddressInfo } from 'node:net'
import { afterEach, describe, expect, it } from 'vitest'
import { MAX_WAITING, Webhook } from '../../gateway/alarms/webhook.ts'
import { webhook as webhookSchema } from '../../shared/schemas/config/alarms.ts'

const ends: (() => unknown)[] = []
afterEach(async () => {
  for (const end of ends.splice(0).reverse()) await end()
})

type Handler = (req: IncomingMessage, res: ServerResponse, body: string) => void
interface Receiver {
  readonly port: number
  readonly bodies: string[]
  handler: Handler
  stop(): Promise<void>
}

const takes: Handler = (_, res) => res.writeHead(204).end()

/** A real HTTP server that does with each message what a test says. */
async function receiver(port = 0): Promise<Receiver> {
  const bodies: string[] = []
  const made = { handler: takes }
  const server: Server = createServer((req, res) => {
    let body = ''
    req.on('data', (chunk) => {
      body += chunk
    })
    req.on('end', () => {
      bodies.push(body)
      made.handler(req, res, body)
    })
  })
  await new Promise<void>((resolve) => server.listen(port, '127.0.0.1', resolve))
  const stop = () =>
    new Promise<void>((resolve) => {
      server.close(() => resolve())
      server.closeAllConnections()
    })
  ends.push(stop)
  return Object.assign(made, { port: (server.address() as AddressInfo).port, bodies, stop })
}

function hook(port: number, timeout_s = 5) {
  const log: string[] = []
  const config = webhookSchema.parse({ url: `http://127.0.0.1:${port}/alarms?key=secret`, timeout_s })
  const made = new Webhook({ config, log: (line) => log.push(line), retryMs: () => 20 })
  ends.push(() => made.close())
  return { made, log }
}

async function until(is: () => boolean): Promise<void> {
  const deadline = Date.now() + 20_000
  while (!is()) {
    if (Date.now() > deadline) throw new Error('not within 20 s')
    await new Promise((resolve) => setTimeout(resolve, 10))
  }
}
const numbers = (bodies: readonly string[]) => bodies.map((body) => (JSON.parse(body) as { n: number }).n)

describe('the webhook of the alarms', () => {
  it('posts JSON, in order', async () => {
    const server = await receiver()
    let seen = ''
    server.handler = (req, res) => {
      seen = `${req.method} ${req.url} ${req.headers['content-type']}`
      res.end()
    }
    const { made } = hook(server.port)
    for (let n = 0; n < 5; n++) made.send({ n })
    await until(() => made.state.delivered === 5)
    expect(numbers(server.bodies)).toEqual([0, 1, 2, 3, 4])
    expect(seen).toBe('POST /alarms?key=secret application/json')
    expect(made.state).toMatchObject({ state: 'idle', waiting: 0, dropped: 0, lastError: null })
  })

  it('loses nothing and keeps the order through an outage, and says so meanwhile, without the rest of the address', async () => {
    const server = await receiver()
    const { made, log } = hook(server.port)
    made.send({ n: 0 })
    await until(() => made.state.delivered === 1)
    await server.stop()
    for (let n = 1; n < 4; n++) made.send({ n })
    await until(() => made.state.lastError === 'not reached: nothing listens there')
    expect(made.state).toMatchObject({ host: `127.0.0.1:${server.port}`, state: 'failing', waiting: 3 })
    expect(JSON.stringify(made.state) + log.join()).not.toContain('secret')
    const again = await receiver(server.port)
    await until(() => made.state.delivered === 4)
    expect(numbers(again.bodies)).toEqual([1, 2, 3])
    expect(made.state.lastError).toBeNull()
    expect(log).toHaveLength(2) // that it fails, and that it does no more; not every attempt
  })

  it('tries again what a server in trouble answered with 5xx, 408, 425 or 429', async () => {
    const server = await receiver()
    const statuses = [503, 500, 408, 425, 429]
    server.handler = (_, res) => res.writeHead(statuses.shift() ?? 200).end()
    const { made } = hook(server.port)
    made.send({ n: 0 })
    await until(() => made.state.delivered === 1)
    expect(server.bodies).toHaveLength(6)
    expect(made.state.dropped).toBe(0)
  })

  it('does not stand still on a message that is refused: it is given up, counted, and the next one goes', async () => {
    const server = await receiver()
    server.handler = (_, res, body) => res.writeHead(body.includes('"n":0') ? 422 : 200).end()
    const { made } = hook(server.port)
    made.send({ n: 0 })
    await until(() => made.state.dropped === 1)
    expect(made.state).toMatchObject({ state: 'failing', lastError: 'answered with HTTP 422' })
    made.send({ n: 1 })
    await until(() => made.state.delivered === 1)
    expect(made.state).toMatchObject({ state: 'idle', dropped: 1 })
  })

  it('follows no redirect to where nobody sent it', async () => {
    const [server, elsewhere] = [await receiver(), await receiver()]
    server.handler = (_, res) => res.writeHead(307, { location: `http://127.0.0.1:${elsewhere.port}/` }).end()
    const { made } = hook(server.port)
    made.send({ n: 0 })
    await until(() => made.state.dropped === 1)
    expect(elsewhere.bodies).toEqual([])
  })

  it('waits no longer than its timeout for a server that does not answer', async () => {
    const server = await receiver()
    server.handler = () => {}
    const { made } = hook(server.port, 0.2)
    made.send({ n: 0 })
    await until(() => made.state.lastError === 'did not answer in time')
    server.handler = takes
    await until(() => made.state.delivered === 1)
  })

  it('holds so many and no more: the oldest go, and are counted', async () => {
    const server = await receiver()
    const port = server.port
    await server.stop()
    const { made } = hook(port)
    for (let n = 0; n < MAX_WAITING + 7; n++) made.send({ n })
    expect(made.state).toMatchObject({ waiting: MAX_WAITING, dropped: 7 })
    const again = await receiver(port)
    await until(() => made.state.waiting === 0)
    const came = numbers(again.bodies)
    expect(came).toHaveLength(MAX_WAITING)
    expect(came).toEqual([...came].sort((a, b) => a - b))
    expect(came.at(-1)).toBe(MAX_WAITING + 6)
  })

  it('is refused in the config when its address is not http or https', () => {
    for (const url of ['ftp://x.example', 'file:///etc/passwd', 'x.example', 'javascript:alert(1)'])
      expect(webhookSchema.safeParse({ url }).success, url).toBe(false)
    for (const url of ['http://192.0.2.1:8080/x', 'https://alarms.example/in?key=1'])
      expect(webhookSchema.safeParse({ url }).success, url).toBe(true)
  })
})

describe('what waits when the gateway is stopped', () => {
  it('is handed to the next one, and arrives in its order', async () => {
    const { port, stop } = await receiver()
    await stop()
    const { made } = hook(port)
    for (const id of ['a', 'b', 'c']) made.send({ id })
    made.close()
    expect(made.waiting.map((text) => JSON.parse(text).id)).toEqual(['a', 'b', 'c'])

    const back = await receiver(port)
    const config = webhookSchema.parse({ url: `http://127.0.0.1:${port}/alarms` })
    const next = new Webhook({ config, log: () => {}, waiting: made.waiting, retryMs: () => 20 })
    ends.push(() => next.close())
    await until(() => next.state.delivered === 3)
    expect(back.bodies.map((body) => JSON.parse(body).id)).toEqual(['a', 'b', 'c'])
    expect(next.waiting).toEqual([])
  })
})
