import { performance } from 'node:perf_hooks'
import { Pipeline } from '../../gateway/pipeline.ts'
import { planRequests } from '../../gateway/poller/plan.ts'
import { encodeRegister } from '../../lib/codec/encode.ts'
import { epochMs, monotonicMs } from '../../shared/brand.ts'
import { configSchema } from '../../shared/schemas/config.ts'
import type { Measured } from './bench.ts'

const RATE_HZ = 100
const SECONDS = 2000
const PICTURE_EVERY = 25

/** Two sides and a speed in one request, 100 a second: ten registers decoded, judged, scaled, joined and counted. */
export async function run(): Promise<Measured[]> {
  let nowMs = 0
  let frames = 0
  const clock = { now: () => monotonicMs(nowMs), toEpoch: epochMs }
  const pipeline = new Pipeline(CONFIG, planRequests(CONFIG), clock, [{ frame: () => frames++ }])
  const answers = Array.from({ length: 1000 }, (_, i) => registers(i))
  let picturesMs = 0
  let pictures = 0
  const started = performance.now()
  for (let i = 0; i < RATE_HZ * SECONDS; i++) {
    nowMs = (i * 1000) / RATE_HZ
    const words = answers[i % answers.length] ?? []
    pipeline.accept({ kind: 'answer', deviceId: 'amp', request: 0, tMs: monotonicMs(nowMs), halfWidthMs: 0.2, words })
    if (i % PICTURE_EVERY === 0) {
      const before = performance.now()
      pictures += pipeline.now().length
      picturesMs += performance.now() - before
    }
  }
  const samplesMs = performance.now() - started - picturesMs
  const coreShare = (samplesMs + picturesMs) / (SECONDS * 1000)
  return [
    {
      name: 'decode → quality → scale → frame → statistics',
      value: (CONFIG.channels.length * RATE_HZ * SECONDS) / (samplesMs / 1000),
      unit: 'samples/s',
      note: `one core, 3 channels, ${frames} frames; target ≥ 1 000 000`,
    },
    {
      name: 'figures and verdicts of one zone',
      value: picturesMs / pictures,
      unit: 'ms',
      note: `${pictures} pictures, made 4 a second`,
    },
    {
      name: 'the whole journey of one zone at 100/s',
      value: coreShare * 100,
      unit: '% of a core',
      note: `${SECONDS} s of samples with their pictures`,
    },
  ]
}

const cell = (id: string, address: number) => ({
  id,
  device: 'amp',
  register: { address, type: 'float32', order: 'CDAB' },
  electrical: { unit: 'mV/V' },
  force: { gain: 250, capacity: 500 },
})
const speed = (id: string, address: number) => ({
  id,
  device: 'amp',
  measures: 'speed',
  register: { address, type: 'float32', order: 'CDAB' },
  scale: { unit: 'm/min' },
})

/** A little motion, so that nothing is frozen. */
function registers(i: number): number[] {
  const values = [0.8 + 0.01 * Math.sin(i), 0.83 + 0.01 * Math.cos(i * 1.3), 240]
  return values.flatMap((value) => encodeRegister(value, 'float32', 'CDAB'))
}

const CONFIG = configSchema.parse({
  version: 1,
  devices: [{ id: 'amp', transport: 'modbus-tcp', host: '127.0.0.1', rate_hz: RATE_HZ }],
  channels: [cell('ds', 0), cell('os', 2), speed('v', 4)],
  zones: [
    { id: 'z', cells: { drive_side: 'ds', operator_side: 'os' }, speed: 'v', cell_distance_m: 1.6, force_factor: 1.5 },
  ],
})
