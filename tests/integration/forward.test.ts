import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import type { ConfigInput } from '../../shared/schemas/config.ts'
import type { EventList } from '../../shared/schemas/events.ts'
import { forwardMessage } from '../../shared/schemas/forward.ts'
import type { ForwardStatus } from '../../shared/schemas/forward-status.ts'
import { type Broker, type Heard, retained, type Subscriber, startBroker, subscribe } from './support/broker.ts'
import { tcpDevice, twoCells } from './support/cell-config.ts'
import { type GatewayProcess, startGatewayProcess, untilAnswer } from './support/gateway.ts'
import { missing, titled } from './support/installed.ts'
import { mqttWire, PACKETS } from './support/mqtt-wire.ts'
import { startLibmodbusServer } from './support/peers.ts'
import { StreamPeer, until } from './support/stream-client.ts'

const ROOT = 'evenpull/example-plant-line-1'
const VALUES = `${ROOT}/zones/infeed/values`
const NOW = `${ROOT}/zones/infeed/now`
// By hand: (12 mA − 4 mA) × 31.25 N/mA = 250 N, (12.8 − 4) × 31.25 = 275 N.
const EVEN = { 0: 12_000, 1: 12_800 }

let folder: string
const ends: (() => Promise<unknown>)[] = []
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'evenpull-forward-'))
})
afterEach(async () => {
  for (const end of ends.splice(0).reverse()) await end()
  rmSync(folder, { recursive: true, force: true })
})
function keep<T extends { stop(): Promise<unknown> }>(started: T): T {
  ends.push(() => started.stop())
  return started
}

type Mqtt = NonNullable<NonNullable<ConfigInput['forward']>['mqtt']>

function sending(amplifier: number, mqtt: Mqtt, more: Partial<ConfigInput> = {}): ConfigInput {
  const config = twoCells(tcpDevice(amplifier))
  return {
    ...config,
    zones: config.zones.map((zone) => ({ ...zone, average_s: 1, noise_block_s: 0.2 })),
    recorder: { folder: join(folder, 'kept'), min_free_mb: 1 },
    forward: { mqtt: { every_s: 1, ...mqtt } },
    ...more,
  }
}

const at = (port: number): Mqtt => ({ url: `mqtt://127.0.0.1:${port}` })
const amplifier = async () => keep(await startLibmodbusServer({ mode: 'tcp', values: EVEN }))
const statusOf = async (gateway: GatewayProcess): Promise<ForwardStatus> => {
  const { forward } = await gateway.health()
  if (forward?.mqtt == null) throw new Error('nothing is sent on')
  return forward.mqtt
}
const untilStatus = (gateway: GatewayProcess, enough: (status: ForwardStatus) => boolean) =>
  untilAnswer(() => statusOf(gateway), enough, 30_000)

/** Numbers of what was queued, in the order heard. */
const numbers = (heard: readonly Heard[]) =>
  heard
    .filter(({ retain, topic }) => retain === 0 && !/\/(now|status)$/.test(topic))
    .map(({ payload }) => payload.seq as number)
const numbersOf = (subscribers: readonly Subscriber[]) => subscribers.flatMap(({ heard }) => numbers(heard))
const upTo = (n: number) => Array.from({ length: n }, (_, i) => i + 1)
const unique = (list: readonly number[]) => [...new Set(list)].sort((a, b) => a - b)

const noPeer = missing('mosquitto', 'mosquitto_sub', 'gcc', 'libmodbus')
const peered = (title: string, test: () => Promise<void>) => it.skipIf(noPeer !== null)(titled(title, noPeer), test)

describe('sending on to a broker that others wrote, heard by a subscriber that others wrote', () => {
  let broker: Broker
  beforeEach(async () => {
    if (noPeer === null) broker = keep(await startBroker())
  })

  peered('figures arrive as a page has them, unknown stays unknown, and only publishing is on the wire', async () => {
    const device = await amplifier()
    const wire = keep(await mqttWire(broker.port))
    const subscriber = keep(await subscribe(broker.port, ROOT))
    const gateway = keep(await startGatewayProcess(sending(device.port, at(wire.port))))
    const page = await StreamPeer.open(Number(new URL(gateway.address).port), { infeed: undefined })
    const on = (topic: string) => subscriber.heard.filter((one) => one.topic === topic)
    const pictures = () => page.all('now').flatMap(({ zones }) => zones)
    const isSeen = ({ payload }: Heard) =>
      payload.total.value !== null && pictures().some(({ timeMs }) => timeMs === payload.timeMs)
    await until(() => on(VALUES).some(isSeen), 'a total of a moment that the page had too')
    const message = on(VALUES).find(isSeen)
    const newest = message?.payload
    const seen = pictures().find(({ timeMs }) => timeMs === newest.timeMs)
    const { why: _, uRandom, dof, window, verdict, ...total } = seen?.total ?? ({} as never)
    expect(newest.total).toEqual({ ...total, verdict: { state: verdict.state, sentence: verdict.sentence } })
    expect(newest.total.value).toBeCloseTo(525, 6)
    expect(newest.sides.drive_side.force.value).toBeCloseTo(250, 6)
    expect(newest.imbalance).toMatchObject({ unit: '%', limit: { half: 10, source: 'common practice, no source' } })
    // The state beside it is the same message, retained and with an end.
    const isTwin = ({ payload }: Heard) => payload.seq === newest.seq
    await until(() => on(NOW).some(isTwin), 'the state beside it')
    const twin = on(NOW).find(isTwin)
    expect(twin?.payload.total).toEqual(newest.total)
    expect(twin?.payload.validUntilMs - newest.timeMs).toBe(3000)
    expect(message?.properties['user-properties']).toEqual({
      version: '1',
      queue: newest.queue,
      seq: String(newest.seq),
    })

    await device.stop()
    await until(() => on(VALUES).at(-1)?.payload.total.value === null, 'the loss')
    const dark = on(VALUES).at(-1)?.payload
    expect(dark.total).toMatchObject({ value: null, U: null, verdict: { state: 'unknown' } })
    expect(dark.total.waiting).toMatch(/\w/)
    expect(dark.sides.drive_side.live.value).toBeNull()
    await until(() => on(`${ROOT}/events/device`).length > 0, 'the event')
    await until(() => on(`${ROOT}/events/alarm`).length > 0, 'the alarm')
    await until(() => on(`${ROOT}/alarms/now`).some(({ payload }) => payload.alarms.length > 0), 'the standing alarm')
    for (const { payload } of subscriber.heard) forwardMessage.parse(payload)
    expect(subscriber.heard.every(({ qos }) => qos === 1)).toBe(true)
    expect(numbersOf([subscriber])).toEqual(upTo(numbersOf([subscriber]).length))

    await page.close()
    await gateway.stop()
    const { connect, publish, pingreq, disconnect } = PACKETS
    expect(wire.sent.at(0)).toBe(connect)
    expect(wire.sent.filter((type) => ![connect, publish, pingreq, disconnect].includes(type))).toEqual([])
    const last = retained(broker.port, ROOT).get('status')
    expect(last?.payload).toMatchObject({ kind: 'status', state: 'stopped' })
  })

  peered('through an outage of the broker nothing is lost, and what comes twice has the same number', async () => {
    const device = await amplifier()
    const wire = keep(await mqttWire(broker.port))
    const before = keep(await subscribe(broker.port, ROOT))
    const gateway = keep(await startGatewayProcess(sending(device.port, at(wire.port))))
    await until(() => numbers(before.heard).length > 4, 'the first messages')
    wire.loseAnswers()
    const soFar = numbers(before.heard).length
    await until(() => numbers(before.heard).length > soFar + 2, 'messages whose acknowledgement is lost')
    wire.open(false)
    await until(() => before.heard.some(({ payload }) => payload.state === 'lost'), 'the last will')
    await broker.kill()
    const waiting = await untilStatus(gateway, ({ state, queued }) => state === 'waiting' && (queued ?? 0) >= 8)
    expect(waiting).toMatchObject({ liveOnly: null, dropped: 0, lastError: { code: /^EVP_FORWARD/ } })
    expect(waiting.sentence).toMatch(/^Not connected; \d+ messages wait\.$/)
    expect((await gateway.health()).status).toBe('degraded')

    await broker.startAgain()
    const after = keep(await subscribe(broker.port, ROOT))
    wire.open(true)
    const { state } = await untilStatus(gateway, (now) => now.state === 'connected' && (now.queued ?? 9) < 4)
    expect(state).toBe('connected')
    await until(
      () => after.heard.some(({ payload }) => payload.kind === 'event' && payload.event.kind === 'forward'),
      'the event',
    )
    const heard = numbersOf([before, after])
    expect(unique(heard)).toEqual(upTo(Math.max(...heard)))
    // What the broker had taken without our knowing came twice, and can be told: number and words are the same.
    expect(heard.length).toBeGreaterThan(unique(heard).length)
    for (const { payload } of after.heard.filter(
      ({ payload }) => payload.seq !== null && payload.validUntilMs === undefined,
    )) {
      const twin = before.heard.find((one) => one.payload.seq === payload.seq && one.payload.validUntilMs === undefined)
      if (twin !== undefined) expect(payload).toEqual(twin.payload)
    }
    // Order is kept: from the smallest that was sent again, the rest follows without a gap.
    const again = numbers(after.heard)
    expect(again).toEqual(again.map((_, i) => (again[0] ?? 0) + i))
    const queues = new Set([...before.heard, ...after.heard].flatMap(({ payload }) => payload.queue ?? []))
    expect(queues.size).toBe(1)
    const online = after.heard.filter(({ payload }) => payload.kind === 'status')
    expect(online.at(-1)?.payload.state).toBe('online')
  })

  peered('a gateway that was killed goes on with its numbers, and every event of the trail arrives', async () => {
    const device = await amplifier()
    const wire = keep(await mqttWire(broker.port))
    const subscriber = keep(await subscribe(broker.port, ROOT))
    const config = sending(device.port, at(wire.port))
    const first = keep(await startGatewayProcess(config))
    await until(() => numbers(subscriber.heard).length > 4, 'the first messages')
    wire.open(false)
    await untilStatus(first, ({ state, queued }) => state === 'waiting' && (queued ?? 0) >= 6)
    process.kill(first.pid, 'SIGKILL')
    await first.stop()
    wire.open(true)
    const second = keep(await startGatewayProcess(config))
    await untilStatus(second, ({ state, queued }) => state === 'connected' && (queued ?? 9) < 4)
    const told = (await second.get<EventList>('/api/events?limit=1000')).events
    const isHeard = (id: number) => subscriber.heard.some(({ payload }) => payload.event?.id === id)
    const began = told.findLast(({ kind, text }) => kind === 'gateway' && text.startsWith('The gateway was started'))
    const due = told.filter(({ kind, id }) => kind !== 'access' && id >= (began?.id ?? 0)).map(({ id }) => id)
    await until(() => due.every(isHeard), 'every event')
    const heard = numbersOf([subscriber])
    expect(unique(heard)).toEqual(upTo(Math.max(...heard)))

    // Killed while connected: the broker tells, by the last will.
    subscriber.heard.length = 0
    process.kill(second.pid, 'SIGKILL')
    await until(() => subscriber.heard.some(({ topic }) => topic === `${ROOT}/status`), 'the last will')
    const will = subscriber.heard.find(({ topic }) => topic === `${ROOT}/status`)
    expect(will?.payload).toMatchObject({ state: 'lost', timeMs: null })
    expect(retained(broker.port, ROOT).get('status')?.payload.state).toBe('lost')
    // What was a state is no state any more: the broker throws it away by itself.
    await until(() => !retained(broker.port, ROOT).has('zones/infeed/now'), 'the end of the retained state')
  })

  peered('without a recorder it sends what is live, says so, and numbers nothing', async () => {
    const device = await amplifier()
    const subscriber = keep(await subscribe(broker.port, ROOT))
    const gateway = keep(
      await startGatewayProcess(sending(device.port, at(broker.port), { recorder: { enabled: false } })),
    )
    await until(() => subscriber.heard.filter(({ topic }) => topic === VALUES).length > 1, 'values')
    const [values] = subscriber.heard.filter(({ topic }) => topic === VALUES)
    expect(values?.payload).toMatchObject({ queue: null, seq: null })
    const status = await statusOf(gateway)
    expect(status).toMatchObject({ state: 'connected', queued: null })
    expect(status.liveOnly).toMatch(/off/i)
    expect(status.sentence).toMatch(/^Connected, live only: /)
  })

  peered('a config that sends elsewhere takes effect at once, and one that sends nothing says goodbye', async () => {
    const device = await amplifier()
    const subscriber = keep(await subscribe(broker.port, 'other'))
    const gateway = keep(await startGatewayProcess(sending(device.port, at(broker.port))))
    await untilStatus(gateway, ({ state }) => state === 'connected')
    gateway.write(sending(device.port, { ...at(broker.port), topic: 'other/place' }))
    await until(
      () => subscriber.heard.some(({ topic }) => topic === 'other/place/zones/infeed/values'),
      'the other topic',
    )
    expect(retained(broker.port, ROOT).get('status')?.payload.state).toBe('stopped')
    gateway.write({ ...sending(device.port, at(broker.port)), forward: {} })
    await untilAnswer(gateway.health, ({ forward }) => forward?.mqtt === null)
    await until(() => subscriber.heard.at(-1)?.payload.state === 'stopped', 'the goodbye')
  })
})

describe('a broker that does not let everybody in', () => {
  const user = { name: 'line-1', password: 'a long secret' }
  const secret = (text: string) => writeFileSync(join(folder, 'password'), text)

  peered('a wrong password is said and not told; the right one in the file is taken up', async () => {
    const broker = keep(await startBroker({ user }))
    const device = await amplifier()
    const mqtt = { ...at(broker.port), username: user.name, password_file: join(folder, 'password') }
    const gateway = keep(await startGatewayProcess(sending(device.port, mqtt)))
    const without = await untilStatus(gateway, ({ lastError }) => lastError !== null)
    expect(without.lastError).toMatchObject({ code: 'EVP_FORWARD_FILE' })
    secret('another secret\n')
    const wrong = await untilStatus(gateway, ({ lastError }) => lastError?.code === 'EVP_FORWARD_REFUSED')
    expect(wrong.lastError?.message).toMatch(/wrong user name or password/)
    secret(`${user.password}\n`)
    const right = await untilStatus(gateway, ({ state }) => state === 'connected')
    await untilStatus(gateway, ({ delivered }) => delivered > right.delivered)
    const told = `${gateway.log()}${await (await fetch(`${gateway.address}/api/health`)).text()}${await (await fetch(`${gateway.address}/api/events?limit=1000`)).text()}`
    for (const word of [user.password, 'another secret']) expect(told).not.toContain(word)
  })

  peered('a user who may not publish is told, and what he could not send waits', async () => {
    const acl = [`user ${user.name}`, `topic write ${ROOT}/status`]
    const broker = keep(await startBroker({ user, acl }))
    secret(user.password)
    const device = await amplifier()
    const mqtt = { ...at(broker.port), username: user.name, password_file: join(folder, 'password') }
    const gateway = keep(await startGatewayProcess(sending(device.port, mqtt)))
    const status = await untilStatus(gateway, ({ lastError, queued }) => lastError !== null && (queued ?? 0) > 4)
    expect(status.lastError).toMatchObject({ code: 'EVP_FORWARD_REFUSED' })
    expect(status).toMatchObject({ dropped: 0, refused: 0 })
  })
})
