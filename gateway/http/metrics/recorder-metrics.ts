import { type RecorderStatus, recorderState } from '../../../shared/schemas/recorder.ts'
import type { MetricFamily } from './exposition.ts'

/** How the recorder is, and what is kept. */
export function recorderMetrics(recorder: RecorderStatus): MetricFamily[] {
  const { state, bytes, freeBytes, lostSamples, waitingEvents, kept } = recorder
  const one = (name: string, help: string, value: number | null, type: MetricFamily['type'] = 'gauge') => ({
    name: `evenpull_recorder_${name}`,
    type,
    help,
    samples: [{ labels: {}, value }],
  })
  return [
    {
      name: 'evenpull_recorder_state',
      type: 'gauge',
      help: '1 for the state the recorder is in, 0 for the others.',
      samples: recorderState.options.map((one) => ({ labels: { state: one }, value: one === state ? 1 : 0 })),
    },
    one('store_bytes', 'Size of the store on the disk.', bytes),
    one('free_bytes', 'Space left for the store.', freeBytes),
    one('lost_samples_total', 'Samples that could not be kept.', lostSamples, 'counter'),
    one('waiting_events', 'Events that wait to be written.', waitingEvents),
    {
      name: 'evenpull_recorder_kept_bytes',
      type: 'gauge',
      help: 'What is kept of each kind.',
      samples: kept.map(({ kind, bytes: value }) => ({ labels: { kind }, value })),
    },
    {
      name: 'evenpull_recorder_kept_since_timestamp_seconds',
      type: 'gauge',
      help: 'When the oldest of each kind is from.',
      samples: kept.map(({ kind, fromMs }) => ({ labels: { kind }, value: fromMs === null ? null : fromMs / 1000 })),
    },
  ]
}
