import { qualityOf } from '../../../shared/quality.ts'
import { type ChannelHealth, type DeviceHealth, deviceHealth, type Health } from '../../../shared/schemas/health.ts'
import type { MetricFamily } from './exposition.ts'

interface DeviceNumber {
  readonly name: string
  readonly type: MetricFamily['type']
  readonly help: string
  readonly of: (device: DeviceHealth) => number | null
}

const seconds = (ms: number | null): number | null => (ms === null ? null : ms / 1000)

const DEVICE_NUMBERS: readonly DeviceNumber[] = [
  { name: 'requests_total', type: 'counter', help: 'Requests sent to the device.', of: (d) => d.requests },
  { name: 'answers_total', type: 'counter', help: 'Good answers of the device.', of: (d) => d.answers },
  { name: 'timeouts_total', type: 'counter', help: 'Requests not answered in time.', of: (d) => d.timeouts },
  { name: 'exceptions_total', type: 'counter', help: 'Requests the device refused.', of: (d) => d.exceptions },
  {
    name: 'violations_total',
    type: 'counter',
    help: 'Frames thrown away: they broke the protocol.',
    of: (d) => d.violations,
  },
  {
    name: 'late_answers_total',
    type: 'counter',
    help: 'Answers that came after their request was given up.',
    of: (d) => d.lateAnswers ?? null,
  },
  { name: 'reconnects_total', type: 'counter', help: 'Connections opened anew.', of: (d) => d.reconnects },
  {
    name: 'missed_ticks_total',
    type: 'counter',
    help: 'Polls skipped: the one before had not ended.',
    of: (d) => d.missedTicks,
  },
  { name: 'requested_hertz', type: 'gauge', help: 'Polls a second asked for.', of: (d) => d.requestedHz },
  { name: 'achieved_hertz', type: 'gauge', help: 'Full polls a second achieved.', of: (d) => d.achievedHz },
  {
    name: 'last_answer_timestamp_seconds',
    type: 'gauge',
    help: 'When the device last answered well.',
    of: (d) => seconds(d.lastAnswerMs),
  },
]

const QUANTILES = ['p50', 'p99', 'max'] as const

/** Counters and states of devices and channels. */
export function deviceMetrics({ devices, channels }: Health): MetricFamily[] {
  return [
    deviceStates(devices),
    ...DEVICE_NUMBERS.map(({ name, type, help, of }) => ({
      name: `evenpull_device_${name}`,
      type,
      help,
      samples: devices.map((device) => ({ labels: { device: device.id }, value: of(device) })),
    })),
    spread('evenpull_device_round_trip_seconds', 'Request to answer.', devices, (d) => d.roundTripMs),
    spread('evenpull_device_jitter_seconds', 'Start of a poll against its tick.', devices, (d) => d.jitterMs),
    channelSamples(channels),
    channelQuality(channels),
  ]
}

function deviceStates(devices: readonly DeviceHealth[]): MetricFamily {
  return {
    name: 'evenpull_device_state',
    type: 'gauge',
    help: '1 for the state the device is in, 0 for the others.',
    samples: devices.flatMap(({ id, state: present }) =>
      deviceHealth.shape.state.options.map((state) => ({
        labels: { device: id, state },
        value: state === present ? 1 : 0,
      })),
    ),
  }
}

function spread(
  name: string,
  help: string,
  devices: readonly DeviceHealth[],
  of: (device: DeviceHealth) => Readonly<Record<(typeof QUANTILES)[number], number>> | null,
): MetricFamily {
  const samples = devices.flatMap((device) =>
    QUANTILES.map((statistic) => ({
      labels: { device: device.id, statistic },
      value: seconds(of(device)?.[statistic] ?? null),
    })),
  )
  return { name, type: 'gauge', help: `${help} Median, 99th percentile and largest.`, samples }
}

function channelSamples(channels: readonly ChannelHealth[]): MetricFamily {
  return {
    name: 'evenpull_channel_samples_total',
    type: 'counter',
    help: 'Samples of a channel by quality.',
    samples: channels.flatMap(({ id, good, uncertain, bad }) =>
      Object.entries({ good, uncertain, bad }).map(([quality, value]) => ({ labels: { channel: id, quality }, value })),
    ),
  }
}

function channelQuality(channels: readonly ChannelHealth[]): MetricFamily {
  return {
    name: 'evenpull_channel_quality',
    type: 'gauge',
    help: '1 for the quality of the newest sample of a channel, 0 for the others.',
    samples: channels.flatMap(({ id, code }) =>
      (['good', 'uncertain', 'bad'] as const).map((quality) => ({
        labels: { channel: id, quality },
        value: quality === qualityOf(code) ? 1 : 0,
      })),
    ),
  }
}
