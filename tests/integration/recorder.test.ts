import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import type { ConfigInput } from '../../shared/schemas/config.ts'
import { eventList } from '../../shared/schemas/events.ts'
import type { Health } from '../../shared/schemas/health.ts'
import { type ZoneHistory, zoneHistory } from '../../shared/schemas/history.ts'
import type { ZoneNow } from '../../shared/schemas/now.ts'
import { type GatewayProcess, startGatewayProcess, untilAnswer } from './support/gateway.ts'
import { StreamPeer } from './support/stream-client.ts'

const ROWS = 5400
const force = (t: number, phase: number) => 100 + 30 * Math.sin(t / 400 + phase)

let folder: string
let gateway: GatewayProcess | null = null
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'evenpull-recorder-'))
  const rows = Array.from({ length: ROWS }, (_, t) => `${t},${force(t, 0).toFixed(2)},${force(t, 1).toFixed(2)}`)
  writeFileSync(join(folder, 'shift.csv'), `time,drive_side,operator_side\n${rows.join('\n')}\n`)
})
afterEach(async () => {
  await gateway?.stop()
  gateway = null
  rmSync(folder, { recursive: true, force: true })
})

function config(speed: number | 'max', recorder: ConfigInput['recorder'] = {}): ConfigInput {
  const cell = (id: string, column: string) => ({
    id,
    device: 'rec',
    column,
    force: { gain: 1, capacity: 500 },
    quality: { stuck_after_s: 0 }, // the top of a slow swing stands still
  })
  return {
    version: 1,
    recorder: { folder: join(folder, 'kept'), min_free_mb: 1, ...recorder },
    devices: [{ id: 'rec', transport: 'replay', file: join(folder, 'shift.csv'), speed, rate_hz: 1 }],
    channels: [cell('ds', 'drive_side'), cell('os', 'operator_side')],
    zones: [{ id: 'z', cells: { drive_side: 'ds', operator_side: 'os' } }],
  }
}

const everything = async (points: number): Promise<ZoneHistory> => {
  if (gateway === null) throw new Error('not started')
  const { keptFromMs, keptToMs } = zoneHistory.parse(
    await gateway.get('/api/zones/z/history?from=0&to=9000000000000&points=2'),
  )
  const range = `from=${keptFromMs ?? 0}&to=${(keptToMs ?? 0) + 1}`
  return zoneHistory.parse(await gateway.get(`/api/zones/z/history?${range}&points=${points}`))
}
const samplesIn = ({ series }: ZoneHistory) => (series.drive_side?.n ?? []).reduce((a, b) => a + b, 0)
const isEnded = async () => (await gateway?.health())?.devices[0]?.state === 'ended'

const hasDriveSide = ({ sides }: ZoneNow) => 'drive_side' in sides && sides.drive_side.live.value !== null

describe('a gateway that records', () => {
  it('answers a shift from the store, whole, and still does after it was stopped and started', async () => {
    gateway = await startGatewayProcess(config('max'))
    await untilAnswer(isEnded, (ended) => ended)
    const before = await everything(100)
    expect(samplesIn(before)).toBe(ROWS)
    const all = Array.from({ length: ROWS }, (_, t) => Number(force(t, 0).toFixed(2)))
    const drive = before.series.drive_side
    const numbers = (list: readonly (number | null)[] | undefined) => (list ?? []).filter((one) => one !== null)
    expect(Math.min(...numbers(drive?.min))).toBe(Math.min(...all))
    expect(Math.max(...numbers(drive?.max))).toBe(Math.max(...all))
    const sum = (drive?.mean ?? []).reduce<number>((total, mean, i) => total + (mean ?? 0) * (drive?.n[i] ?? 0), 0)
    expect(sum / ROWS).toBeCloseTo(all.reduce((a, b) => a + b, 0) / ROWS, 9)
    expect(before.series.imbalance?.mean.some((value) => value !== null)).toBe(true)

    await gateway.stop()
    gateway = await startGatewayProcess({ ...config('max'), line: 'second start' })
    await untilAnswer(isEnded, (ended) => ended)
    const after = await everything(100)
    expect(samplesIn(after)).toBe(2 * ROWS)
    // The second recording runs after the first: what was recorded ahead of time is not recorded over.
    expect(after.keptFromMs).toBe(before.keptFromMs)
    expect(after.keptToMs ?? 0).toBeGreaterThan(before.keptToMs ?? Number.POSITIVE_INFINITY)
    expect(after.revisions).toHaveLength(2)
    const { events } = eventList.parse(await gateway.get('/api/events?limit=1000'))
    const texts = events.filter(({ kind }) => kind === 'gateway').map(({ text }) => text.split(' (')[0])
    expect(texts).toEqual(['The gateway was started', 'The gateway was stopped.', 'The gateway was started'])
  }, 60_000)

  it('that is told not to keeps nothing, says so, and goes on live', async () => {
    gateway = await startGatewayProcess(config(1, { enabled: false }))
    const { recorder, status } = await gateway.health()
    expect([recorder.state, recorder.file]).toEqual(['off', null])
    expect(status).not.toBe('degraded')
    await untilAnswer(() => gateway?.now('z') as Promise<ZoneNow>, hasDriveSide)
    const answer = await fetch(`${gateway.address}/api/zones/z/history?from=0&to=1000`)
    expect([answer.status, ((await answer.json()) as { code: string }).code]).toEqual([503, 'EVP_RECORDER_OFF'])
    expect(eventList.parse(await gateway.get('/api/events')).events.map(({ kind }) => kind)).toContain('gateway')
  }, 60_000)

  it('with a store that is in use goes on live and says who holds it', async () => {
    gateway = await startGatewayProcess(config(1))
    const second = await startGatewayProcess(config(1))
    try {
      const { recorder } = await untilAnswer(
        () => second.health(),
        ({ status }) => status === 'degraded',
      )
      expect([recorder.state, recorder.error?.code]).toEqual(['stopped', 'EVP_STORE_LOCKED'])
    } finally {
      await second.stop()
    }
  }, 60_000)

  it('says early that the disk runs full, goes on live and with roll-ups, and is whole again by itself', async () => {
    // More than any disk has free: as if it were nearly full.
    gateway = await startGatewayProcess(config(1, { min_free_mb: 1e9 }))
    const short = await untilAnswer(
      () => gateway?.health() as Promise<Health>,
      ({ recorder, status }) => recorder.state === 'roll-ups-only' && status === 'degraded',
    )
    expect(short.recorder.error?.code).toBe('EVP_STORE_FULL')
    await untilAnswer(() => gateway?.now('z') as Promise<ZoneNow>, hasDriveSide)
    gateway.write(config(1))
    await untilAnswer(
      () => gateway?.health() as Promise<Health>,
      ({ recorder }) => recorder.state === 'running' && recorder.error === null,
    )
    const { events } = eventList.parse(await gateway.get('/api/events?kind=recording'))
    expect(events.map(({ data }) => data.state).slice(0, 2)).toEqual(['running', 'roll-ups-only'])
  }, 60_000)

  it('fills the stream with what was recorded before it was started again', async () => {
    const rows = Array.from(
      { length: 5000 },
      (_, i) => `${i * 0.02},${force(i, 0).toFixed(2)},${force(i, 1).toFixed(2)}`,
    )
    writeFileSync(join(folder, 'shift.csv'), `time,drive_side,operator_side\n${rows.join('\n')}\n`)
    gateway = await startGatewayProcess(config(1))
    await untilAnswer(
      () => gateway?.health() as Promise<Health>,
      ({ devices }) => (devices[0]?.answers ?? 0) > 100,
    )
    await gateway.stop()
    const stoppedMs = Date.now()
    gateway = await startGatewayProcess(config(1))
    const peer = await StreamPeer.open(Number(new URL(gateway.address).port), { z: undefined })
    await peer.first('caught-up')
    const before = peer.batches.flatMap(({ timesMs, values }) =>
      [...timesMs].flatMap((timeMs, i) => (timeMs < stoppedMs ? [[timeMs, values[0]?.[i], values[1]?.[i]]] : [])),
    )
    peer.socket.close()
    expect(before.length).toBeGreaterThan(100)
    const csv = rows.map((row) =>
      row
        .split(',')
        .slice(1)
        .map((cell) => Math.fround(Number(cell))),
    )
    expect(before.map(([, drive, operator]) => [drive, operator])).toEqual(csv.slice(0, before.length))
    const times = before.map(([timeMs]) => timeMs ?? Number.NaN)
    expect(times.every((timeMs, i) => i === 0 || timeMs > (times[i - 1] ?? 0))).toBe(true)
  }, 60_000)
})
