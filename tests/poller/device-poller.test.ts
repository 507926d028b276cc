import { afterEach, describe, expect, test } from 'vitest'
import { DevicePoller } from '../../gateway/poller/device-poller.ts'
import { planRequests } from '../../gateway/poller/plan.ts'
import type { PlannedRequest } from '../../gateway/poller/types.ts'
import type { TransportAnswer } from '../../gateway/transports/transport.ts'
import { EvenpullError } from '../../shared/errors.ts'
import { modbusConfig } from './build.ts'
import { fakeContext, fakeLine, until } from './fakes.ts'

// Real timers, generous deadlines: a loaded machine is slow, not wrong.

const pollers: DevicePoller[] = []
afterEach(async () => {
  await Promise.all(pollers.splice(0).map((poller) => poller.stop()))
})

function poll(
  options: Parameters<typeof modbusConfig>[0],
  read: (request: PlannedRequest) => Promise<Partial<TransportAnswer>>,
) {
  const [plan] = planRequests(modbusConfig({ ...options, device: { rate_hz: 200, ...options.device } }))
  if (plan === undefined) throw new Error('no plan')
  const context = fakeContext()
  const poller = new DevicePoller(plan, fakeLine(read), context)
  pollers.push(poller)
  return { poller, readings: context.readings }
}

const two = [
  { id: 'a', register: { address: 0 } },
  { id: 'b', register: { address: 50 } },
]
const wordsFor = ({ count }: PlannedRequest) => ({ words: new Array<number>(count).fill(1) })
const illegalAddress = () =>
  Promise.reject(Object.assign(new EvenpullError('EVP_MODBUS_EXCEPTION', 'exception 2'), { exceptionCode: 2 }))

describe('DevicePoller', () => {
  test('reads the requests of each tick in order, one in flight at a time', async () => {
    let inFlight = 0
    let most = 0
    const { readings } = poll({ channels: two }, async (request) => {
      most = Math.max(most, ++inFlight)
      await new Promise((resolve) => setTimeout(resolve, 3))
      inFlight--
      return wordsFor(request)
    })
    await until('eight readings', () => readings.length >= 8)
    expect(most).toBe(1)
    expect(readings.slice(0, 8).map((reading) => reading.request)).toEqual([0, 1, 0, 1, 0, 1, 0, 1])
  })

  test.each([
    ['EVP_DEVICE_TIMEOUT', 'no-answer'],
    ['EVP_DEVICE_CLOSED', 'no-answer'],
    ['EVP_DEVICE_UNREACHABLE', 'no-answer'],
    ['EVP_SERIAL_OPEN', 'no-answer'],
    ['EVP_FRAME_INVALID', 'device-error'],
    ['EVP_MODBUS_EXCEPTION', 'device-error'],
    ['EVP_IIO_READ', 'device-error'],
  ] as const)('%s becomes a gap of quality %s at every tick', async (code, quality) => {
    const { readings, poller } = poll({ channels: two.slice(0, 1) }, () =>
      Promise.reject(new EvenpullError(code, 'for the test')),
    )
    await until('gaps', () => readings.length >= 3)
    expect(readings[0]).toMatchObject({ kind: 'gap', code: quality, errorCode: code, detail: 'for the test' })
    expect(poller.health()).toMatchObject({ answers: 0, lastError: { code, message: 'for the test' } })
  })

  test('an answer with another number of words than asked is no answer', async () => {
    const { readings, poller } = poll({ channels: two.slice(0, 1) }, async () => ({ words: [1, 2] }))
    await until('a gap', () => readings.length >= 1)
    expect(readings[0]).toMatchObject({ kind: 'gap', code: 'device-error', errorCode: 'EVP_FRAME_INVALID' })
    expect(poller.health().answers).toBe(0)
  })

  test('an exception other than illegal data address splits nothing', async () => {
    const asked: number[] = []
    const { readings } = poll({ device: { merge_gap: 60 }, channels: two }, ({ count }) => {
      asked.push(count)
      return Promise.reject(Object.assign(new EvenpullError('EVP_MODBUS_EXCEPTION', 'busy'), { exceptionCode: 6 }))
    })
    await until('gaps', () => readings.length >= 4)
    expect(new Set(asked)).toEqual(new Set([51]))
  })

  test('a part that goes on being refused leaves null in an answer that keeps the layout of the plan', async () => {
    const { readings, poller } = poll({ device: { merge_gap: 60 }, channels: two }, async (request) => {
      const end = (request.address ?? 0) + request.count
      return end > 50 ? illegalAddress() : wordsFor(request)
    })
    await until('answers', () => readings.filter((reading) => reading.kind === 'answer').length >= 2)
    const answer = readings.at(-1)
    if (answer?.kind !== 'answer') throw new Error('no answer')
    expect(answer.words).toHaveLength(51)
    expect([answer.words[0], answer.words[50]]).toEqual([1, null])
    await until('partly', () => poller.state() === 'partly')
    expect(poller.health().plan.map((request) => request.channels)).toEqual([['a'], ['b']])
  })

  test('a reading put together from parts is dated to the middle of all of them and as wide', async () => {
    const { readings } = poll({ device: { merge_gap: 60 }, channels: two }, async (request) => {
      if (request.count > 1) return illegalAddress()
      const tMs = (request.address === 0 ? 1000 : 1030) as TransportAnswer['tMs']
      return { ...wordsFor(request), tMs, halfWidthMs: 5 }
    })
    await until('an answer', () => readings.at(-1)?.kind === 'answer')
    expect(readings.at(-1)).toMatchObject({ tMs: 1015, halfWidthMs: 20 })
  })

  test('problems beside an answer are the last error, and the device answers partly', async () => {
    const { readings, poller } = poll({ device: { merge_gap: 60 }, channels: two }, async ({ count }) => ({
      words: new Array<number | null>(count).fill(null).with(0, 7),
      problems: [new EvenpullError('EVP_IIO_READ', 'one input is broken')],
    }))
    await until('partly', () => poller.state() === 'partly')
    expect(readings.at(-1)).toMatchObject({ kind: 'answer' })
    expect(poller.health()).toMatchObject({ lastError: { code: 'EVP_IIO_READ', message: 'one input is broken' } })
  })

  test('a dead unit is asked less often, so that its neighbour on the line keeps its rate', async () => {
    const channels = [
      { id: 'alive', register: { address: 0, unit_id: 1 } },
      { id: 'dead', register: { address: 0, unit_id: 2 } },
    ]
    const asked = { alive: 0, dead: 0 }
    const { readings, poller } = poll({ channels }, async (request) => {
      if (request.unitId === 1) {
        asked.alive++
        return wordsFor(request)
      }
      asked.dead++
      await new Promise((resolve) => setTimeout(resolve, 50))
      throw new EvenpullError('EVP_DEVICE_TIMEOUT', 'unit 2 is silent')
    })
    await until('forty answers', () => readings.filter((reading) => reading.kind === 'answer').length >= 40)
    expect(asked.dead).toBeLessThan(asked.alive / 3)
    const gaps = readings.filter((reading) => reading.kind === 'gap')
    // The unit that is not asked still yields its gap at every tick.
    expect(gaps.length).toBeGreaterThanOrEqual(asked.alive - 1)
    for (const gap of gaps) expect(gap).toMatchObject({ request: 1, code: 'no-answer' })
    expect(poller.health().timeouts).toBe(asked.dead)
  })

  test('nothing is emitted after stop, not even by a read that was in flight', async () => {
    let finish = () => {}
    const { poller, readings } = poll({ channels: two.slice(0, 1) }, async (request) => {
      await new Promise<void>((resolve) => {
        finish = resolve
      })
      return wordsFor(request)
    })
    await until('a read in flight', () => poller.health().requests === 1)
    const stopped = poller.stop()
    finish()
    await stopped
    expect(readings).toEqual([])
  })

  test('the ninth register read that waits is refused', async () => {
    const { poller } = poll({ channels: two.slice(0, 1) }, () => new Promise(() => {}))
    pollers.pop()
    await until('a read in flight', () => poller.health().requests === 1)
    const query = { device: 'amp', unit_id: 1, function: 4 as const, address: 0, count: 1 }
    for (let i = 0; i < 8; i++) poller.readRegisters(query).catch(() => {})
    await expect(poller.readRegisters(query)).rejects.toMatchObject({ code: 'EVP_TOO_MANY' })
  })

  test('a register read by a function that writes is refused before the line', async () => {
    const functions: (number | null)[] = []
    const { poller } = poll({ channels: two.slice(0, 1) }, async (request) => {
      functions.push(request.function)
      return wordsFor(request)
    })
    for (const fn of [5, 6, 15, 16]) {
      const read = poller.readRegisters({ device: 'amp', unit_id: 1, function: fn as 3, address: 0, count: 1 })
      await expect(read).rejects.toMatchObject({ code: 'EVP_FUNCTION_REFUSED' })
    }
    expect(new Set(functions)).toEqual(new Set([4]))
  })
})
