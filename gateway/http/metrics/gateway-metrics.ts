import type { Health } from '../../../shared/schemas/health.ts'
import type { ZoneNow } from '../../../shared/schemas/now.ts'
import { deviceMetrics } from './device-metrics.ts'
import type { MetricFamily } from './exposition.ts'
import { forwardMetrics } from './forward-metrics.ts'
import { recorderMetrics } from './recorder-metrics.ts'
import { zoneMetrics } from './zone-metrics.ts'

const one = (name: string, help: string, value: number, labels = {}): MetricFamily => ({
  name,
  type: 'gauge',
  help,
  samples: [{ labels, value }],
})

/** Every family of GET /metrics; base units, as the format's naming practice asks. */
export function gatewayMetrics(health: Health, zones: readonly ZoneNow[]): MetricFamily[] {
  const { config } = health
  return [
    one('evenpull_build_info', 'Version of the gateway; always 1.', 1, { version: health.version }),
    one('evenpull_uptime_seconds', 'Time since the gateway started.', health.upSeconds),
    one('evenpull_stream_clients', 'Pages connected to the stream.', health.clients),
    one('evenpull_config_loaded_timestamp_seconds', 'When the config in force was loaded.', config.loadedMs / 1000, {
      revision: config.revision,
    }),
    one(
      'evenpull_config_refused',
      '1 while an edited config is refused and the one before runs on.',
      config.refused === null ? 0 : 1,
    ),
    ...recorderMetrics(health.recorder),
    ...forwardMetrics(health.forward),
    ...deviceMetrics(health),
    ...zoneMetrics(zones),
  ]
}
