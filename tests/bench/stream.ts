import { fork } from 'node:child_process'
import { once } from 'node:events'
import { createServer } from 'node:http'
import type { AddressInfo } from 'node:net'
import { fileURLToPath } from 'node:url'
import { systemClock } from '../../gateway/clock.ts'
import { hostPolicy } from '../../gateway/http/host-policy.ts'
import { StreamHub } from '../../gateway/stream/hub.ts'
import { type MonotonicMs, monotonicMs } from '../../shared/brand.ts'
import type { Sample, ZoneFrame } from '../../shared/sample.ts'
import type { ZoneList } from '../../shared/schemas/zones.ts'
import type { Measured } from './bench.ts'

const RATE_HZ = 100
const SECONDS = 5
const FRAMES_TIMED = 200_000

const zones: ZoneList = {
  plant: null,
  line: null,
  zones: [
    {
      id: 'a',
      name: 'a',
      columns: ['drive_side', 'operator_side'],
      totalMeans: 'force',
      cellDistanceM: null,
      webWidthM: null,
      webOffsetM: 0,
      capacityN: {},
      rateHz: RATE_HZ,
      averageSeconds: 30,
    },
  ],
}

function frameAt(tMs: MonotonicMs): ZoneFrame {
  const sample: Sample = { tMs, halfWidthMs: 0.4, raw: 1, electrical: 4, value: 400, code: 'good' }
  return { tMs, skewMs: 0, sides: { drive_side: sample, operator_side: sample }, aux: {} }
}

function newHub(): StreamHub {
  const hub = new StreamHub({
    version: 'bench',
    bootId: 'bench',
    clock: systemClock(),
    hostAllowed: hostPolicy('127.0.0.1').originAllowed,
  })
  hub.configure(zones, 'bench')
  return hub
}

/** Cost of the stream to the gateway, and how old a sample is when a page has it. */
export async function run(): Promise<Measured[]> {
  return [await frameCost(), ...(await withListeners(20)), ...(await withListeners(100))]
}

/** One frame with nobody listening: what the pipeline pays, batching and encoding included. */
async function frameCost(): Promise<Measured> {
  const hub = newHub()
  const frame = frameAt(monotonicMs(0))
  for (let i = 0; i < FRAMES_TIMED / 10; i++) hub.frame('a', frame)
  const started = process.hrtime.bigint()
  for (let i = 0; i < FRAMES_TIMED; i++) hub.frame('a', frame)
  const ns = Number(process.hrtime.bigint() - started) / FRAMES_TIMED
  await hub.close()
  return { name: 'frame(), nobody listening', value: ns / 1000, unit: 'µs', note: `mean of ${FRAMES_TIMED} frames` }
}

async function withListeners(count: number): Promise<Measured[]> {
  const hub = newHub()
  const server = createServer()
  server.on('upgrade', (req, socket, head) => hub.handleUpgrade(req, socket, head))
  server.listen(0, '127.0.0.1')
  await once(server, 'listening')
  const { port } = server.address() as AddressInfo
  const clock = systemClock()
  const offsetMs = clock.toEpoch(monotonicMs(0))
  const script = fileURLToPath(new URL('./stream-listeners.ts', import.meta.url))
  const listeners = fork(script, [`ws://127.0.0.1:${port}`, String(count), String(offsetMs)], {
    execArgv: ['--import', 'tsx'],
    serialization: 'advanced',
  })
  await once(listeners, 'message')
  const share = await feed(hub)
  listeners.send('report')
  const [ages] = (await once(listeners, 'message')) as [number[]]
  await hub.close()
  server.close()
  return figures(count, share, ages)
}

/** Feeds at the nominal rate and returns the share of one core this process used meanwhile. */
async function feed(hub: StreamHub): Promise<number> {
  const clock = systemClock()
  const startMs = clock.now()
  const before = process.cpuUsage()
  let sent = 0
  await new Promise<void>((resolve) => {
    const timer = setInterval(() => {
      const nowMs = clock.now()
      for (; sent < ((nowMs - startMs) / 1000) * RATE_HZ; sent++) hub.frame('a', frameAt(nowMs))
      if (nowMs - startMs < SECONDS * 1000) return
      clearInterval(timer)
      resolve()
    }, 1000 / RATE_HZ)
  })
  const { user, system } = process.cpuUsage(before)
  return (user + system) / 1000 / (clock.now() - startMs)
}

function figures(count: number, share: number, ages: readonly number[]): Measured[] {
  const sorted = ages.toSorted((a, b) => a - b)
  const at = (p: number) => sorted[Math.min(sorted.length - 1, Math.floor(p * sorted.length))] ?? Number.NaN
  const setting = `${count} clients × ${RATE_HZ}/s × 2 sides, ${SECONDS} s`
  return [
    { name: `processor, ${count} clients`, value: 100 * share, unit: '% of a core', note: setting },
    {
      name: `frame() → message, ${count} clients, p50`,
      value: at(0.5),
      unit: 'ms',
      note: 'includes up to 16 ms of gathering',
    },
    {
      name: `frame() → message, ${count} clients, p99`,
      value: at(0.99),
      unit: 'ms',
      note: 'device → pixel target: 50 ms',
    },
  ]
}
