import { type ForwardHealth, type ForwardStatus, forwardStatus } from '../../../shared/schemas/forward-status.ts'
import type { MetricFamily } from './exposition.ts'

/** How sending on is, a label a destination; nothing where the config names none. */
export function forwardMetrics(forward: ForwardHealth | undefined): MetricFamily[] {
  const all = Object.entries(forward ?? {}).flatMap(([destination, status]): [string, ForwardStatus][] =>
    status === null ? [] : [[destination, status]],
  )
  const family = (
    name: string,
    help: string,
    of: (status: ForwardStatus) => number | null,
    type: MetricFamily['type'] = 'gauge',
  ): MetricFamily => ({
    name: `evenpull_forward_${name}`,
    type,
    help,
    samples: all.map(([destination, status]) => ({ labels: { destination }, value: of(status) })),
  })
  return [
    {
      name: 'evenpull_forward_state',
      type: 'gauge',
      help: '1 for the state a destination is in, 0 for the others.',
      samples: all.flatMap(([destination, { state: present }]) =>
        forwardStatus.shape.state.options.map((state) => ({
          labels: { destination, state },
          value: state === present ? 1 : 0,
        })),
      ),
    },
    family('queue_kept', '1 while messages wait for a destination that is away.', (s) => (s.liveOnly === null ? 1 : 0)),
    family('queued_messages', 'Messages that wait or are under way.', (s) => s.queued),
    family('queued_bytes', 'What they take in the store.', (s) => s.queuedBytes),
    family('oldest_queued_timestamp_seconds', 'When the oldest of them is from.', (s) =>
      s.oldestMs === null ? null : s.oldestMs / 1000,
    ),
    family('delivered_total', 'Messages taken.', (s) => s.delivered, 'counter'),
    family('dropped_total', 'Messages dropped: too many or too old.', (s) => s.dropped, 'counter'),
    family('refused_total', 'Messages that would never be taken.', (s) => s.refused, 'counter'),
  ]
}
