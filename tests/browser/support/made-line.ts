/**
 * A made line for developing and testing pages alone: forces drawn from sines and seeded noise,
 * figures that fit them in size. Nothing here is measured or computed by the product.
 */
import { exampleForward } from '../../../gateway/http/forward-examples.ts'
import { exampleRecorder } from '../../../gateway/http/history-examples.ts'
import { epochMs, type MonotonicMs } from '../../../shared/brand.ts'
import type { QualityCode } from '../../../shared/quality.ts'
import type { Sample, ZoneFrame } from '../../../shared/sample.ts'
import type { Health } from '../../../shared/schemas/health.ts'
import type { Figure, FigureLimit, Live, SideNow, Verdict, ZoneNow } from '../../../shared/schemas/now.ts'
import type { ZoneInfo, ZoneList } from '../../../shared/schemas/zones.ts'

export const MADE_RATE_HZ = 100
export const TWO_SIDED = 'unwind'
const ONE_SIDED = 'laminator'
const FORCE_FACTOR = 1.4

const common = { webOffsetM: 0, rateHz: MADE_RATE_HZ, averageSeconds: 30 }
const zones: ZoneInfo[] = [
  {
    ...common,
    id: TWO_SIDED,
    name: 'Unwind',
    columns: ['drive_side', 'operator_side', 'speed', 'temperature'],
    totalMeans: 'tension',
    cellDistanceM: 1.6,
    webWidthM: 1.3,
    capacityN: { drive_side: 1000, operator_side: 1000 },
    forceFactor: { drive_side: FORCE_FACTOR, operator_side: FORCE_FACTOR },
  },
  {
    ...common,
    id: ONE_SIDED,
    name: 'Laminator',
    columns: ['single'],
    totalMeans: 'force',
    cellDistanceM: null,
    webWidthM: 0.6,
    capacityN: { single: 500 },
    forceFactor: null,
  },
]
export const madeZones: ZoneList = { plant: 'Made plant', line: 'Test line', zones }

/** Numbers in [0, 1) from a seed (mulberry32, public domain). */
export function seededRandom(seed: number): () => number {
  let state = seed >>> 0
  return () => {
    state = (state + 0x6d2b79f5) >>> 0
    let t = state
    t = Math.imul(t ^ (t >>> 15), t | 1)
    t ^= t + Math.imul(t ^ (t >>> 7), t | 61)
    return ((t ^ (t >>> 14)) >>> 0) / 2 ** 32
  }
}

/** Sum of twelve uniforms less six: near enough to a normal variate for a picture. */
export const noise = (random: () => number, sigma: number): number => {
  let sum = -6
  for (let i = 0; i < 12; i++) sum += random()
  return sum * sigma
}

const sample = (tMs: MonotonicMs, value: number, code: QualityCode = 'good'): Sample =>
  code === 'good'
    ? { tMs, halfWidthMs: 0.4, raw: Math.round(value * 10), electrical: 4 + value / 62.5, value, code }
    : { tMs, halfWidthMs: 0.4, raw: null, electrical: null, value: null, code }

/** What the made line does at a time; seconds on the monotonic clock. */
const slow = (seconds: number, period: number) => Math.sin((2 * Math.PI * seconds) / period)
const madeForces = (seconds: number) => ({
  drive_side: 400 + 8 * slow(seconds, 40),
  operator_side: 424 + 8 * slow(seconds, 40) + 6 * slow(seconds, 13),
  single: 180 + 5 * slow(seconds, 25),
})

/** With `gaps`, the operator side breaks for 2 s and every cell is silent for 1 s, once in 30 s each. */
function madeCode(seconds: number, side: string, gaps: boolean): QualityCode {
  if (!gaps) return 'good'
  const phase = seconds % 30
  if (phase < 1) return 'no-answer'
  return phase > 15 && phase < 17 && side === 'operator_side' ? 'wire-break' : 'good'
}

export function madeFrame(zone: string, tMs: MonotonicMs, random: () => number, gaps: boolean): ZoneFrame {
  const seconds = tMs / 1000
  const force = madeForces(seconds)
  const side = (name: keyof typeof force, sigma: number) =>
    sample(tMs, force[name] + noise(random, sigma), madeCode(seconds, name, gaps))
  if (zone === ONE_SIDED) return { tMs, skewMs: 0, sides: { single: side('single', 1) }, aux: {} }
  return {
    tMs,
    skewMs: 0,
    sides: { drive_side: side('drive_side', 2), operator_side: side('operator_side', 2.2) },
    aux: { speed: sample(tMs, 5 + noise(random, 0.01)), temperature: sample(tMs, 24 + slow(seconds, 600)) },
  }
}

// --- figures ---

const MADE = 'made for a test of the page'
const inside: Verdict = { state: 'inside', reason: { kind: 'inside' }, sentence: 'Inside the limit.' }
const noLimit: Verdict = { state: 'not-done', reason: { kind: 'no-limit' }, sentence: 'For information: no limit.' }

function figure(value: number, unit: Figure['unit'], u: number, timeMs: number, limit: FigureLimit | null): Figure {
  return {
    value,
    unit,
    u,
    uRandom: u / 4,
    U: 2 * u,
    k: 2,
    dof: null,
    limit,
    verdict: limit === null ? noLimit : inside,
    window: { seconds: 30, samples: 3000, effectiveSamples: 900 },
    timeMs,
    waiting: null,
    why: { formula: MADE, source: MADE, inputs: [{ name: 'made value', value, unit, u }] },
  }
}

const within = (half: number): FigureLimit => ({ target: 0, half, source: MADE })

function live(channel: string, value: number, unit: string, timeMs: number): Live {
  const cell = unit === 'N'
  return {
    channel,
    value,
    unit,
    electrical: cell ? 4 + value / 62.5 : null,
    electricalUnit: cell ? 'mA' : null,
    raw: Math.round(value * 10),
    code: 'good',
    timeMs,
    halfWidthMs: 0.4,
  }
}

function sideNow(channel: string, force: number, capacityN: number, timeMs: number): SideNow {
  return {
    live: live(channel, force, 'N', timeMs),
    force: figure(force, 'N', 2, timeMs, null),
    noise: figure(0.5, '%', 0.02, timeMs, within(1)),
    peakToPeak: figure(13, 'N', 0.5, timeMs, null),
    capacityN,
  }
}

/** Two zones' figures of one moment; epoch ms and seconds of the monotonic clock. */
export function madeNow(timeMs: number, seconds: number): ZoneNow[] {
  const force = madeForces(seconds)
  const sum = force.drive_side + force.operator_side
  const imbalance = (100 * (force.operator_side - force.drive_side)) / sum
  const steady = { state: 'steady', sentence: 'Speed and set tension are constant.', forSeconds: 120 } as const
  const side = (name: 'drive_side' | 'operator_side') => ({
    ...sideNow(name === 'drive_side' ? 'cell-ds' : 'cell-os', force[name], 1000, timeMs),
    tension: figure(force[name] / FORCE_FACTOR, 'N', 3, timeMs, null),
  })
  return [
    {
      zone: TWO_SIDED,
      timeMs,
      sides: { drive_side: side('drive_side'), operator_side: side('operator_side') },
      total: figure(sum / FORCE_FACTOR, 'N', 5, timeMs, null),
      totalMeans: 'tension',
      imbalance: figure(imbalance, '%', 0.6, timeMs, within(10)),
      lineOfPull: figure((imbalance / 100) * 0.8, 'm', 0.005, timeMs, null),
      driftOfSideDifference: figure(0.05, 'points/h', 0.08, timeMs, within(0.3)),
      rateOfTotal: figure(2, 'N/h', 3, timeMs, null),
      skew: figure(0, 'ms', 0.1, timeMs, null),
      steady,
      aux: { speed: live('speed', 5, 'm/s', timeMs), temperature: live('hall', 24, '°C', timeMs) },
    },
    {
      zone: ONE_SIDED,
      timeMs,
      sides: { single: sideNow('cell-1', force.single, 500, timeMs) },
      total: figure(force.single, 'N', 1.5, timeMs, null),
      totalMeans: 'force',
      rateOfTotal: figure(1, 'N/h', 2, timeMs, null),
      steady: { ...steady, state: 'assumed', sentence: 'No speed channel: judged from the signal.' },
      aux: {},
    },
  ]
}

/** Health of the made devices; `clients` and the times are real. */
export function madeHealth(timeMs: number, upSeconds: number, clients: number): Health {
  const requests = Math.round(upSeconds * MADE_RATE_HZ)
  const time = epochMs(timeMs)
  const channel = (id: string, device: string, value: number) => ({
    id,
    name: id,
    device,
    measures: 'force',
    where: 'made',
    code: 'good' as const,
    raw: Math.round(value * 10),
    electrical: 4 + value / 62.5,
    electricalUnit: 'mA',
    value,
    unit: 'N',
    timeMs: time,
    good: requests,
    uncertain: 0,
    bad: 0,
  })
  return {
    status: 'ok',
    version: 'made',
    timeMs: time,
    upSeconds,
    memoryMb: process.memoryUsage.rss() / 1e6,
    clients,
    config: { file: 'made.yaml', revision: 'aaaaaaaaaaaa', loadedMs: time - upSeconds * 1000, refused: null },
    recorder: exampleRecorder,
    forward: exampleForward,
    devices: [
      {
        id: 'made-amplifier',
        name: 'Made amplifier',
        transport: 'modbus-tcp',
        where: '127.0.0.1:1502',
        state: 'answering',
        lastAnswerMs: time,
        requestedHz: MADE_RATE_HZ,
        achievedHz: MADE_RATE_HZ,
        requests,
        answers: requests,
        timeouts: 0,
        exceptions: 0,
        violations: 0,
        reconnects: 0,
        missedTicks: 0,
        roundTripMs: { p50: 0.8, p99: 2, max: 6 },
        jitterMs: { p50: 0.1, p99: 0.8, max: 4 },
        lastError: null,
        plan: [{ unitId: 1, function: 4, address: 0, count: 6, channels: ['cell-ds', 'cell-os', 'cell-1'] }],
      },
    ],
    channels: [
      channel('cell-ds', 'made-amplifier', 400),
      channel('cell-os', 'made-amplifier', 424),
      channel('cell-1', 'made-amplifier', 180),
    ],
  }
}
