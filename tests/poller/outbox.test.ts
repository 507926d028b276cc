import { describe, expect, test } from 'vitest'
import { Outbox } from '../../gateway/poller/outbox.ts'
import { fromWire, toWire } from '../../gateway/poller/wire-error.ts'
import { monotonicMs } from '../../shared/brand.ts'
import { EvenpullError } from '../../shared/errors.ts'
import type { RawReading } from '../../shared/sample.ts'
import { until } from './fakes.ts'

const reading = (i: number): RawReading => ({
  kind: 'answer',
  deviceId: 'amp',
  request: 0,
  tMs: monotonicMs(i),
  halfWidthMs: 0,
  words: [i],
})

describe('Outbox', () => {
  test('readings that come together leave in one batch, in order', async () => {
    const batches: (readonly RawReading[])[] = []
    const outbox = new Outbox((batch) => batches.push(batch))
    for (let i = 0; i < 5; i++) outbox.push(reading(i))
    expect(batches).toEqual([])
    await until('the batch', () => batches.length > 0)
    expect(batches).toEqual([[0, 1, 2, 3, 4].map(reading)])
  })

  test('a batch of 512 does not wait', () => {
    const batches: (readonly RawReading[])[] = []
    const outbox = new Outbox((batch) => batches.push(batch))
    for (let i = 0; i < 512; i++) outbox.push(reading(i))
    expect(batches.map((batch) => batch.length)).toEqual([512])
  })

  test('there is no room while 2048 readings are not worked off, and again when some are', async () => {
    const outbox = new Outbox(() => {})
    for (let i = 0; i < 2048; i++) outbox.push(reading(i))
    let room = false
    const waiting = outbox.room().then(() => {
      room = true
    })
    await Promise.resolve()
    expect(room).toBe(false)
    outbox.acknowledge(512)
    await waiting
    expect(room).toBe(true)
  })
})

describe('an EvenpullError', () => {
  test('is the same on the other side of a structured clone', () => {
    const place = { file: 'a.csv', line: 3, column: 7 }
    const error = new EvenpullError('EVP_REPLAY_FORMAT', 'broken', { place, remedy: 'mend it' })
    const there = fromWire(structuredClone(toWire(error)))
    expect(there).toBeInstanceOf(EvenpullError)
    expect(there.toJSON()).toEqual(error.toJSON())
  })

  test('keeps the exception code of the device', () => {
    const error = Object.assign(new EvenpullError('EVP_MODBUS_EXCEPTION', 'refused'), { exceptionCode: 2 })
    expect(fromWire(structuredClone(toWire(error)))).toMatchObject({ exceptionCode: 2 })
  })

  test('is made of any other error as a fault of the product', () => {
    expect(fromWire(toWire(new TypeError('oops')))).toMatchObject({ code: 'EVP_INTERNAL', message: 'oops' })
  })
})
