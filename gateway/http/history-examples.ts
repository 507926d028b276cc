import type { EventList } from '../../shared/schemas/events.ts'
import type { ZoneHistory } from '../../shared/schemas/history.ts'
import type { RecorderStatus } from '../../shared/schemas/recorder.ts'

const TIME_MS = 1_760_000_000_000

/** Ten seconds of which the second half had no good sample. */
export const exampleHistory: ZoneHistory = {
  zone: 'unwind',
  fromMs: TIME_MS,
  toMs: TIME_MS + 20_000,
  bucketMs: 10_000,
  source: 'roll-up',
  timesMs: [TIME_MS, TIME_MS + 10_000],
  series: {
    single: { unit: 'N', min: [410.2, null], max: [414.9, null], mean: [412.4, null], n: [1000, 0] },
    total: { unit: 'N', min: [412.4, null], max: [412.4, null], mean: [412.4, null], n: [1000, 0] },
  },
  revisions: [{ timeMs: TIME_MS - 86_400_000, revision: '3f1c09ab27de' }],
  clockSteps: [],
  keptFromMs: TIME_MS - 2_592_000_000,
  keptToMs: TIME_MS + 10_000,
}

export const exampleEvents: EventList = {
  events: [
    {
      id: 18,
      timeMs: TIME_MS,
      kind: 'device',
      zone: null,
      who: null,
      text: 'Amplifier 1 does not answer: no answer within 250 ms.',
      data: { device: 'amplifier-1', state: 'lost', code: 'EVP_DEVICE_TIMEOUT' },
    },
  ],
  olderBefore: 18,
}

export const exampleRecorder: RecorderStatus = {
  state: 'running',
  sentence: 'Every sample is recorded.',
  error: null,
  warning: null,
  sinceMs: TIME_MS - 3_600_000,
  file: '.evenpull/line-1.yaml.sqlite',
  bytes: 1_240_000_000,
  freeBytes: 84_000_000_000,
  minFreeBytes: 500_000_000,
  kept: [{ kind: 'samples', bytes: 1_180_000_000, fromMs: TIME_MS - 2_592_000_000, days: 60, mb: 20_000 }],
  lostSamples: 0,
  waitingEvents: 0,
  aheadMs: 0,
}
