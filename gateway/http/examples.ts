import type { Health } from '../../shared/schemas/health.ts'
import type { Figure, ZoneNow } from '../../shared/schemas/now.ts'
import type { RegisterView } from '../../shared/schemas/register-view.ts'
import type { ZoneList } from '../../shared/schemas/zones.ts'
import { exampleForward } from './forward-examples.ts'
import { exampleRecorder } from './history-examples.ts'

/** Examples for the OpenAPI document: an invented line with one zone of one cell. */
const TIME_MS = 1_760_000_000_000

export const exampleZones: ZoneList = {
  plant: 'Example plant',
  line: 'Line 1',
  zones: [
    {
      id: 'unwind',
      name: 'Unwind',
      columns: ['single', 'speed'],
      totalMeans: 'force',
      cellDistanceM: null,
      webWidthM: 1.2,
      webOffsetM: 0,
      capacityN: { single: 1000 },
      rateHz: 100,
      averageSeconds: 30,
    },
  ],
}

const waiting: Figure = {
  value: null,
  unit: 'N',
  u: null,
  uRandom: null,
  U: null,
  k: null,
  dof: null,
  limit: null,
  verdict: { state: 'unknown', reason: { kind: 'waiting', for: 'samples' }, sentence: 'Waits for samples.' },
  window: null,
  timeMs: null,
  waiting: 'Waits for samples.',
  why: { formula: 'standard deviation about the block mean', source: 'definition', inputs: [] },
}

const force: Figure = {
  ...waiting,
  value: 412.5,
  u: 2.2,
  uRandom: 0.1,
  U: 4.4,
  k: 2,
  verdict: { state: 'not-done', reason: { kind: 'no-limit' }, sentence: 'For information; no limit is set.' },
  window: { seconds: 30, samples: 3000, effectiveSamples: 2400 },
  timeMs: TIME_MS,
  waiting: null,
  why: {
    formula: 'mean of (electrical − zero) × gain',
    source: 'definition',
    inputs: [{ name: 'gain', value: 62.5, unit: 'N/mA', u: 0.31 }],
  },
}

export const exampleZoneNow: ZoneNow = {
  zone: 'unwind',
  timeMs: TIME_MS,
  sides: {
    single: {
      live: {
        channel: 'cell-1',
        value: 412.1,
        unit: 'N',
        electrical: 10.594,
        electricalUnit: 'mA',
        raw: 10_594,
        code: 'good',
        timeMs: TIME_MS,
        halfWidthMs: 0.4,
      },
      force,
      noise: waiting,
      peakToPeak: waiting,
      capacityN: 1000,
    },
  },
  total: force,
  totalMeans: 'force',
  rateOfTotal: { ...waiting, unit: 'N/h' },
  steady: { state: 'assumed', sentence: 'No speed or reference channel: steadiness is assumed.', forSeconds: 30 },
  aux: {},
}

export const exampleHealth: Health = {
  status: 'ok',
  version: '0.1.0',
  timeMs: TIME_MS,
  upSeconds: 3600,
  memoryMb: 84.2,
  clients: 2,
  config: { file: 'line-1.yaml', revision: '3f1c09ab27de', loadedMs: TIME_MS, refused: null },
  recorder: exampleRecorder,
  forward: exampleForward,
  devices: [
    {
      id: 'amplifier-1',
      name: 'Amplifier 1',
      transport: 'modbus-tcp',
      where: '192.0.2.10:502',
      state: 'answering',
      lastAnswerMs: TIME_MS,
      requestedHz: 100,
      achievedHz: 99.9,
      requests: 360_000,
      answers: 359_998,
      timeouts: 2,
      exceptions: 0,
      violations: 0,
      lateAnswers: 2,
      reconnects: 0,
      missedTicks: 4,
      roundTripMs: { p50: 0.8, p99: 2.1, max: 9.7 },
      jitterMs: { p50: 0.1, p99: 0.9, max: 6.2 },
      lastError: { code: 'EVP_DEVICE_TIMEOUT', message: 'no answer within 250 ms', timeMs: TIME_MS },
      plan: [{ unitId: 1, function: 4, address: 0, count: 2, channels: ['cell-1'] }],
    },
  ],
  channels: [
    {
      id: 'cell-1',
      name: 'Cell 1',
      device: 'amplifier-1',
      measures: 'force',
      where: 'input register 0',
      code: 'good',
      raw: 10_594,
      electrical: 10.594,
      electricalUnit: 'mA',
      value: 412.1,
      unit: 'N',
      timeMs: TIME_MS,
      good: 359_998,
      uncertain: 0,
      bad: 2,
    },
  ],
}

const noPair = { ABCD: null, CDAB: null, BADC: null, DCBA: null }

export const exampleRegisterView: RegisterView = {
  device: 'amplifier-1',
  unitId: 1,
  function: 4,
  address: 0,
  count: 1,
  timeMs: TIME_MS,
  roundTripMs: 0.8,
  rows: [
    {
      address: 0,
      notation: '30001',
      hex: '0x2962',
      uint16: 10_594,
      int16: 10_594,
      uint16Swapped: 25_129,
      int16Swapped: 25_129,
      uint32: noPair,
      int32: noPair,
      float32: noPair,
    },
  ],
}
