import { execFileSync } from 'node:child_process'
import { mkdtempSync, readFileSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import { connectBroker, type Outgoing } from '../../gateway/forward/broker-link.ts'
import type { MqttSettings } from '../../gateway/forward/settings.ts'
import { type BrokerSettings, freePort, startBroker, subscribe } from './support/broker.ts'
import { missing, titled } from './support/installed.ts'
import { until } from './support/stream-client.ts'

let folder: string
const ends: (() => Promise<unknown>)[] = []
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'evenpull-link-'))
})
afterEach(async () => {
  for (const end of ends.splice(0).reverse()) await end()
  rmSync(folder, { recursive: true, force: true })
})

async function broker(settings: BrokerSettings = {}) {
  const started = await startBroker(settings)
  ends.push(() => started.stop())
  return started
}

const message = (payload: string): Outgoing => ({
  topic: 'root/a',
  payload,
  retain: false,
  userProperties: { seq: '1' },
})
const open = (port: number, more: Partial<MqttSettings> = {}, ca: Buffer | null = null) =>
  connectBroker({
    settings: { host: '127.0.0.1', port, isTls: false, username: null, topic: 'root', ...more } as MqttSettings,
    password: null,
    ca,
    will: message('{}'),
  })

const noPeer = missing('mosquitto', 'mosquitto_sub')
const peered = (title: string, test: () => Promise<void>) => it.skipIf(noPeer !== null)(titled(title, noPeer), test)

describe('one connection to a broker that others wrote', () => {
  peered('takes its window and largest packet from what the broker says of itself', async () => {
    const { port } = await broker({ lines: ['max_inflight_messages 5', 'max_packet_size 2000'] })
    const link = await open(port)
    expect(link).toMatchObject({ window: 5, maxBytes: 2000 })
    await link.close()
    expect(await link.closed).toBeNull()
  })

  peered('resolves a message with its acknowledgement, and arrives byte for byte', async () => {
    const { port } = await broker()
    const subscriber = await subscribe(port, 'root')
    ends.push(() => subscriber.stop())
    const link = await open(port)
    const payload = JSON.stringify({ text: 'µ°±−ü 面', n: 0.1 })
    expect(await link.publish(message(payload))).toEqual({ isTaken: true })
    await until(() => subscriber.heard.length > 0, 'the message')
    expect(subscriber.heard[0]).toMatchObject({ qos: 1, retain: 0, payload: JSON.parse(payload) })
    await link.close()
  })

  peered('rejects what was not acknowledged when the broker is gone, and says that it is', async () => {
    const { port, kill } = await broker()
    const link = await open(port)
    await kill()
    const [sent, closed] = await Promise.allSettled([link.publish(message('{}')), link.closed])
    expect(sent.status).toBe('rejected')
    expect(closed).toMatchObject({ value: { code: 'EVP_FORWARD_CLOSED' } })
    await expect(open(port)).rejects.toMatchObject({ code: 'EVP_FORWARD_UNREACHABLE' })
  })

  peered('says what another gateway with the same topic does, when it threw this one out', async () => {
    const { port } = await broker()
    const first = await open(port)
    const second = await open(port)
    expect((await first.closed)?.message).toMatch(/another gateway with the same topic/)
    await second.close()
  })
})

describe('TLS', () => {
  const noTls = missing('mosquitto', 'openssl')
  const openssl = (...words: string[]) => execFileSync('openssl', words, { cwd: folder, stdio: 'ignore' })
  const certificate = (name: string) => {
    const subject = ['-subj', '/CN=localhost', '-addext', 'subjectAltName=DNS:localhost']
    openssl(
      'req',
      '-x509',
      '-newkey',
      'rsa:2048',
      '-nodes',
      '-days',
      '2',
      ...subject,
      '-keyout',
      `${name}.key`,
      '-out',
      `${name}.crt`,
    )
    return { cert: join(folder, `${name}.crt`), key: join(folder, `${name}.key`) }
  }

  it.skipIf(noTls !== null)(
    titled('lets in the authority that was named, for the name in the certificate, and no other', noTls),
    async () => {
      const tls = certificate('broker')
      const { port } = await broker({ tls })
      const right = readFileSync(tls.cert)
      const wrong = readFileSync(certificate('other').cert)
      const link = await open(port, { isTls: true, host: 'localhost' }, right)
      expect(await link.publish(message('{}'))).toEqual({ isTaken: true })
      await link.close()
      const refused = { code: 'EVP_FORWARD_TLS' }
      await expect(open(port, { isTls: true, host: 'localhost' }, wrong)).rejects.toMatchObject(refused)
      await expect(open(port, { isTls: true, host: 'localhost' })).rejects.toMatchObject(refused)
      await expect(open(port, { isTls: true, host: '127.0.0.1' }, right)).rejects.toMatchObject(refused)
    },
  )
})

it('names what keeps a connection away: nobody listens, no such host', async () => {
  await expect(open(await freePort())).rejects.toMatchObject({
    code: 'EVP_FORWARD_UNREACHABLE',
    message: expect.stringContaining('nothing listens there'),
  })
  await expect(open(1, { host: 'no-such-host.invalid' })).rejects.toMatchObject({ code: 'EVP_FORWARD_UNREACHABLE' })
})
