import { afterEach, describe, expect, test } from 'vitest'
import { systemClock } from '../../gateway/clock.ts'
import { planRequests } from '../../gateway/poller/plan.ts'
import { startPolling } from '../../gateway/poller/polling.ts'
import type { Polling } from '../../gateway/poller/types.ts'
import { EvenpullError } from '../../shared/errors.ts'
import type { RawReading } from '../../shared/sample.ts'
import { type ConfigInput, configSchema } from '../../shared/schemas/config.ts'
import type { DeviceHealth } from '../../shared/schemas/health.ts'
import { type RecordingServer, recordingServer, type ServerBehaviour, until } from './recording-server.ts'

const servers: RecordingServer[] = []
const pollings: Polling[] = []
afterEach(async () => {
  await Promise.all(pollings.splice(0).map((polling) => polling.stop()))
  await Promise.all(servers.splice(0).map((server) => server.close()))
})

async function server(behaviour: ServerBehaviour = {}): Promise<RecordingServer> {
  const made = await recordingServer(behaviour)
  servers.push(made)
  return made
}

interface Run {
  readonly polling: Polling
  readonly readings: RawReading[]
  readonly states: Map<string, string[]>
  health(id: string): DeviceHealth | undefined
  of(id: string): RawReading[]
}

function run(): Run {
  const readings: RawReading[] = []
  const states = new Map<string, string[]>()
  let devices: readonly DeviceHealth[] = []
  const polling = startPolling(
    {
      readings: (batch) => readings.push(...batch),
      health: (list) => {
        devices = list
        for (const { id, state } of list) {
          const seen = states.get(id) ?? []
          if (seen.at(-1) !== state) states.set(id, [...seen, state])
        }
      },
      failed: (error) => {
        throw error
      },
    },
    systemClock(),
  )
  pollings.push(polling)
  return {
    polling,
    readings,
    states,
    health: (id) => devices.find((device) => device.id === id),
    of: (id) => readings.filter((reading) => reading.deviceId === id),
  }
}

type Device = Extract<ConfigInput['devices'][number], { transport: 'modbus-tcp' }>

/** Devices on 127.0.0.1, each with int16 channels at the given addresses; the first two of a device are a pair. */
function plansOf(devices: readonly (Omit<Device, 'transport' | 'host'> & { addresses: readonly number[] })[]) {
  return planRequests(
    configSchema.parse({
      version: 1,
      devices: devices.map(({ addresses, ...device }) => ({ transport: 'modbus-tcp', host: '127.0.0.1', ...device })),
      channels: devices.flatMap(({ id, addresses }) =>
        addresses.map((address) => ({ id: `${id}-${address}`, device: id, register: { address } })),
      ),
      zones: devices.map(({ id, addresses: [ds, os] }) => ({
        id: `zone-${id}`,
        cells:
          os === undefined ? { single: `${id}-${ds}` } : { drive_side: `${id}-${ds}`, operator_side: `${id}-${os}` },
      })),
    } satisfies ConfigInput),
  )
}

const refusalOf = (work: Promise<unknown>): Promise<unknown> =>
  work.then(
    () => 'no refusal',
    (error: unknown) => error,
  )

describe('polling', () => {
  test('readings come with the words, the plan index and a time inside the run', async () => {
    const device = await server({ register: (n) => n * 10 })
    const { polling, readings, health } = run()
    const startMs = systemClock().now()
    polling.apply(plansOf([{ id: 'amp', port: device.port, rate_hz: 50, addresses: [3, 5] }]))
    await until('20 answers', () => readings.length >= 20)
    for (const reading of readings) {
      expect(reading).toMatchObject({ kind: 'answer', deviceId: 'amp', request: 0, words: [30, 40, 50] })
      expect(reading.tMs).toBeGreaterThan(startMs)
      expect(reading.halfWidthMs).toBeGreaterThan(0)
    }
    await until('health', () => (health('amp')?.answers ?? 0) >= 20)
    expect(health('amp')).toMatchObject({
      state: 'answering',
      where: `127.0.0.1:${device.port}`,
      requestedHz: 50,
      timeouts: 0,
      lastError: null,
      plan: [{ unitId: 1, function: 4, address: 3, count: 3, channels: ['amp-3', 'amp-5'] }],
    })
    expect(Math.abs((health('amp')?.lastAnswerMs ?? 0) - Date.now())).toBeLessThan(20_000)
  })

  test('a device that takes 400 ms to answer costs a device at 50 Hz beside it no tick', async () => {
    const quick = await server()
    const slow = await server({ delayMs: 400 })
    const { polling, of, health } = run()
    polling.apply(
      plansOf([
        { id: 'quick', port: quick.port, rate_hz: 50, addresses: [0, 1] },
        { id: 'slow', port: slow.port, rate_hz: 50, timeout_ms: 5000, addresses: [0, 1] },
      ]),
    )
    await until('six slow answers', () => of('slow').length >= 6)
    await until('health of both', () => (health('slow')?.answers ?? 0) >= 5 && (health('quick')?.answers ?? 0) > 0)
    const [fast, late] = [health('quick'), health('slow')]
    if (fast === undefined || late === undefined) throw new Error('no health')
    // 400 ms is 20 periods of 50 Hz: the slow line misses about 19 ticks of 20, and so would the
    // quick one if it ever had to wait. What a loaded machine costs is far from that.
    expect(late.missedTicks).toBeGreaterThan(15 * late.answers)
    expect(fast.missedTicks).toBeLessThan(fast.answers)
    expect(fast.answers).toBeGreaterThan(5 * late.answers)
    expect(late.roundTripMs?.p50 ?? 0).toBeGreaterThan(380)
  })

  test('only functions 01 to 04 ever leave, whatever the devices answer', async () => {
    const good = await server()
    const refusing = await server({ refuse: ({ address, count }) => (address + count > 12 ? 2 : null) })
    const silent = await server({ refuse: () => undefined })
    const { polling, of } = run()
    polling.apply(
      plansOf([
        { id: 'good', port: good.port, rate_hz: 100, addresses: [0, 1, 90] },
        { id: 'refusing', port: refusing.port, rate_hz: 100, addresses: [10, 11, 12, 13] },
        { id: 'silent', port: silent.port, rate_hz: 100, timeout_ms: 20, addresses: [0] },
      ]),
    )
    for (let i = 0; i < 5; i++)
      await polling.readRegisters({ device: 'good', unit_id: 7, function: 3, address: 40 * i, count: 60 })
    await refusalOf(polling.readRegisters({ device: 'refusing', unit_id: 1, function: 4, address: 0, count: 60 }))
    await until('readings of all', () => ['good', 'refusing', 'silent'].every((id) => of(id).length >= 20))
    await polling.stop()
    for (const { bytes } of servers) {
      const functions = functionsIn(bytes())
      expect(functions.length).toBeGreaterThan(5)
      for (const fn of functions) expect([1, 2, 3, 4]).toContain(fn)
    }
  })

  test('a merged request that is refused is read in parts under its own index, and health says so', async () => {
    const device = await server({ refuse: ({ address, count }) => (address <= 4 && address + count > 4 ? 2 : null) })
    const { polling, readings, health, states } = run()
    polling.apply(plansOf([{ id: 'amp', port: device.port, rate_hz: 50, merge_gap: 10, addresses: [0, 1, 8] }]))
    await until('answers', () => readings.some((reading) => reading.kind === 'answer'))
    await until('answering', () => health('amp')?.state === 'answering')
    expect(readings[0]).toMatchObject({
      kind: 'gap',
      request: 0,
      code: 'device-error',
      errorCode: 'EVP_MODBUS_EXCEPTION',
    })
    // Registers 2 to 7 are not read: null in the layout of the plan.
    expect(readings.at(-1)).toMatchObject({
      kind: 'answer',
      request: 0,
      words: [0, 1, null, null, null, null, null, null, 8],
    })
    expect(health('amp')?.plan.map(({ address, count }) => [address, count])).toEqual([
      [0, 2],
      [8, 1],
    ])
    expect(health('amp')?.lastError?.message).toContain('registers 0–8 were refused together')
    expect(states.get('amp')).not.toContain('lost')
  })

  test('a silent device yields gaps, is lost, and answers again when it is back', async () => {
    let mute = false
    const device = await server({ refuse: () => (mute ? undefined : null) })
    const { polling, readings, states } = run()
    polling.apply(plansOf([{ id: 'amp', port: device.port, rate_hz: 20, timeout_ms: 30, addresses: [0, 1] }]))
    await until('answering', () => states.get('amp')?.at(-1) === 'answering')
    mute = true
    await until('lost', () => states.get('amp')?.at(-1) === 'lost')
    const gaps = readings.filter((reading) => reading.kind === 'gap')
    expect(gaps.length).toBeGreaterThan(3)
    for (const gap of gaps) expect(gap).toMatchObject({ code: 'no-answer', request: 0 })
    mute = false
    await until('back', () => states.get('amp')?.at(-1) === 'answering')
    expect(readings.at(-1)?.kind).toBe('answer')
  })

  test('a device that is not there yields gaps and is lost', async () => {
    const gone = await server()
    await gone.close()
    const { polling, readings, states, health } = run()
    polling.apply(plansOf([{ id: 'amp', port: gone.port, rate_hz: 50, addresses: [0] }]))
    await until('lost', () => states.get('amp')?.at(-1) === 'lost')
    expect(readings.length).toBeGreaterThan(0)
    for (const reading of readings) expect(reading).toMatchObject({ kind: 'gap', code: 'no-answer' })
    expect(health('amp')).toMatchObject({ lastAnswerMs: null, achievedHz: null, answers: 0 })
  })

  test('a change of config leaves a device it does not touch at work, on its connection', async () => {
    const [a, b, c] = [await server(), await server(), await server()]
    const { polling, of, health } = run()
    const keep = { id: 'keep', port: a.port, rate_hz: 50, addresses: [0, 1] }
    polling.apply(plansOf([keep, { id: 'drop', port: b.port, rate_hz: 50, addresses: [0] }]))
    await until('both answer', () => of('keep').length > 5 && of('drop').length > 5)
    const before = health('keep')?.requests ?? 0
    polling.apply(plansOf([keep, { id: 'new', port: c.port, rate_hz: 50, addresses: [4] }]))
    await until('the new one answers', () => of('new').length > 5)
    const dropped = of('drop').length
    await until('the kept one goes on', () => (health('keep')?.requests ?? 0) > before + 20)
    expect(health('keep')?.reconnects).toBe(0)
    expect(health('drop')).toBeUndefined()
    expect(of('drop').length).toBe(dropped)
    expect(a.connections()).toBe(1)
  })

  test('after a change no reading made by the old plan is handed on', async () => {
    const device = await server()
    const { polling, readings } = run()
    for (let round = 0; round < 10; round++) {
      const address = round * 10
      polling.apply(plansOf([{ id: 'amp', port: device.port, rate_hz: 200, addresses: [address] }]))
      const from = readings.length
      await until('two answers', () => readings.length >= from + 2)
      for (const reading of readings.slice(from)) expect(reading).toMatchObject({ kind: 'answer', words: [address] })
    }
  })
})

describe('register reads', () => {
  test('go over the line of the device, between its polls', async () => {
    const device = await server({ register: (n) => 1000 + n })
    const { polling } = run()
    polling.apply(plansOf([{ id: 'amp', port: device.port, rate_hz: 20, addresses: [0] }]))
    const read = await polling.readRegisters({ device: 'amp', unit_id: 9, function: 3, address: 500, count: 3 })
    expect(read.words).toEqual([1500, 1501, 1502])
    expect(read.roundTripMs).toBeGreaterThan(0)
    expect(Math.abs(read.timeMs - Date.now())).toBeLessThan(20_000)
    expect(device.requests).toContainEqual(expect.objectContaining({ unit: 9, fn: 3, address: 500, count: 3 }))
  })

  test('carry the refusal of the device across the process with code, remedy and exception code', async () => {
    const device = await server({ refuse: ({ address }) => (address === 0 ? null : 3) })
    const { polling } = run()
    polling.apply(plansOf([{ id: 'amp', port: device.port, addresses: [0] }]))
    const error = await refusalOf(
      polling.readRegisters({ device: 'amp', unit_id: 1, function: 4, address: 9, count: 1 }),
    )
    expect(error).toBeInstanceOf(EvenpullError)
    expect(error).toMatchObject({ code: 'EVP_MODBUS_EXCEPTION', exceptionCode: 3 })
    expect((error as EvenpullError).remedy).toContain('manual')
  })

  test.each([
    ['an unknown device', { device: 'nobody', count: 1 }],
    ['a device without registers', { device: 'tape', count: 1 }],
    ['an IIO device', { device: 'adc', count: 1 }],
    ['more than 60 registers', { device: 'tape', count: 61 }],
  ])('are refused for %s', async (_what, query) => {
    const { polling } = run()
    polling.apply(
      planRequests(
        configSchema.parse({
          version: 1,
          devices: [
            { id: 'tape', transport: 'replay', file: '/nowhere.csv' },
            { id: 'adc', transport: 'iio', root: '/nowhere', device: 'iio:device0' },
          ],
          channels: [{ id: 'c', device: 'tape', column: 'drive_side' }],
          zones: [{ id: 'z', cells: { single: 'c' } }],
        }),
      ),
    )
    const error = await refusalOf(polling.readRegisters({ unit_id: 1, function: 4, address: 0, ...query }))
    expect(error).toMatchObject({ code: 'EVP_REQUEST_INVALID' })
  })

  test('that wait when polling stops are told so, and stop ends the process', async () => {
    const device = await server({ refuse: () => undefined })
    const { polling } = run()
    polling.apply(plansOf([{ id: 'amp', port: device.port, timeout_ms: 10_000, addresses: [0] }]))
    const waiting = refusalOf(polling.readRegisters({ device: 'amp', unit_id: 1, function: 4, address: 0, count: 1 }))
    await until('a request is in flight', () => device.requests.length > 0)
    await polling.stop()
    expect(await waiting).toMatchObject({ code: 'EVP_DEVICE_CLOSED' })
  })
})

/** Function codes of a stream of Modbus TCP requests: the byte after the 7-byte MBAP header. */
function functionsIn(bytes: Buffer): number[] {
  const functions: number[] = []
  for (let at = 0; at + 8 <= bytes.length; at += 6 + bytes.readUInt16BE(at + 4)) {
    expect(bytes.readUInt16BE(at + 2)).toBe(0)
    functions.push(bytes.readUInt8(at + 7))
  }
  return functions
}
