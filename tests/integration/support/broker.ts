import { spawnSync } from 'node:child_process'
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { connect, createServer } from 'node:net'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { end, type PipedProcess, start } from './processes.ts'
import { until } from './stream-client.ts'

/** Eclipse Mosquitto: a broker that others wrote, with a config of its own on a free port of loopback. */
export interface Broker {
  readonly port: number
  /** SIGKILL: as when the power goes. */
  kill(): Promise<void>
  /** On the same port; what it held is gone. */
  startAgain(): Promise<void>
  stop(): Promise<void>
}

export interface BrokerSettings {
  /** Absent: everybody may come in. */
  readonly user?: { readonly name: string; readonly password: string }
  /** PEM files. */
  readonly tls?: { readonly cert: string; readonly key: string }
  /** Lines of an access list: what users may do. */
  readonly acl?: readonly string[]
  /** More lines of its config. */
  readonly lines?: readonly string[]
}

export async function startBroker(settings: BrokerSettings = {}): Promise<Broker> {
  const folder = mkdtempSync(join(tmpdir(), 'evenpull-broker-'))
  const port = await freePort()
  const file = join(folder, 'mosquitto.conf')
  writeFileSync(file, configText(settings, folder, port))
  let child = await run(file, port)
  return {
    port,
    kill: () => end(child),
    startAgain: async () => {
      child = await run(file, port)
    },
    stop: async () => {
      await end(child)
      rmSync(folder, { recursive: true, force: true })
    },
  }
}

function configText({ user, tls, acl, lines: more = [] }: BrokerSettings, folder: string, port: number): string {
  const lines = [`listener ${port} 127.0.0.1`, 'persistence false', `allow_anonymous ${user === undefined}`]
  // It would let go of root's rights, and could not read its own files then.
  if (process.getuid?.() === 0) lines.push('user root')
  if (user !== undefined) {
    const passwords = join(folder, 'passwords')
    const made = spawnSync('mosquitto_passwd', ['-b', '-c', passwords, user.name, user.password])
    if (made.status !== 0) throw new Error(String(made.stderr))
    lines.push(`password_file ${passwords}`)
  }
  if (acl !== undefined) {
    writeFileSync(join(folder, 'acl'), `${acl.join('\n')}\n`)
    lines.push(`acl_file ${join(folder, 'acl')}`)
  }
  if (tls !== undefined) lines.push(`certfile ${tls.cert}`, `keyfile ${tls.key}`)
  return `${[...lines, ...more].join('\n')}\n`
}

async function run(file: string, port: number): Promise<PipedProcess> {
  const child = start('/usr/sbin/mosquitto', ['-c', file])
  let said = ''
  for (const stream of [child.stdout, child.stderr])
    stream.on('data', (chunk) => {
      said += String(chunk)
    })
  const deadline = Date.now() + 20_000
  while (!(await answers(port))) {
    if (child.exitCode === null && Date.now() < deadline) continue
    await end(child)
    throw new Error(`no broker on ${port}: ${said}`)
  }
  return child
}

function answers(port: number): Promise<boolean> {
  return new Promise((resolve) => {
    const socket = connect(port, '127.0.0.1')
    socket.once('connect', () => socket.destroy(undefined))
    socket.once('error', () => setTimeout(() => resolve(false), 20))
    socket.once('close', (hadError) => !hadError && resolve(true))
  })
}

export function freePort(): Promise<number> {
  return new Promise((resolve) => {
    const server = createServer()
    server.listen(0, '127.0.0.1', () => {
      const { port } = server.address() as { port: number }
      server.close(() => resolve(port))
    })
  })
}

/** A message as mosquitto_sub (libmosquitto, C) told it. */
export interface Heard {
  readonly topic: string
  readonly qos: number
  readonly retain: 0 | 1
  readonly properties: {
    readonly 'user-properties'?: Readonly<Record<string, string>>
    readonly 'content-type'?: string
    readonly 'message-expiry-interval'?: number
  }
  // biome-ignore lint/suspicious/noExplicitAny: what came is looked at by each test, and checked against the schema in one
  readonly payload: any
}

export interface Subscriber {
  readonly heard: Heard[]
  stop(): Promise<void>
}

/** Hears all below `topic`, from retained states on; resolves when the broker has said that it does. */
export async function subscribe(port: number, topic: string, more: readonly string[] = []): Promise<Subscriber> {
  const arguments_ = ['-V', '5', '-h', '127.0.0.1', '-p', String(port), '-t', `${topic}/#`, '-q', '1', '-F', '%J']
  // A line at a time: into a pipe it would keep what it says of itself to the end.
  const child = start('stdbuf', ['-oL', 'mosquitto_sub', ...arguments_, '-d', ...more])
  const heard: Heard[] = []
  let isSubscribed = false
  let rest = ''
  child.stdout.on('data', (chunk) => {
    const lines = (rest + String(chunk)).split('\n')
    rest = lines.pop() ?? ''
    for (const line of lines) {
      if (line.startsWith('{')) heard.push(JSON.parse(line) as Heard)
      else if (line.startsWith('Subscribed')) isSubscribed = true
    }
  })
  child.stderr.resume()
  try {
    await until(() => isSubscribed || child.exitCode !== null, 'the subscription')
  } catch (error) {
    await end(child)
    throw error
  }
  return { heard, stop: () => end(child) }
}

/** What is retained below `topic` at this moment, by the rest of its topic. */
export function retained(port: number, topic: string): Map<string, Heard> {
  const { stdout } = spawnSync('mosquitto_sub', [
    ...['-V', '5', '-h', '127.0.0.1', '-p', String(port), '-t', `${topic}/#`, '-q', '1', '-F', '%J'],
    ...['--retained-only', '-W', '1'],
  ])
  const heard = String(stdout)
    .split('\n')
    .filter((line) => line.startsWith('{'))
    .map((line) => JSON.parse(line) as Heard)
  return new Map(heard.map((one) => [one.topic.slice(topic.length + 1), one]))
}
