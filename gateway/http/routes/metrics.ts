import { defineRoute, noQuery } from '../define-route.ts'
import { alarmMetrics } from '../metrics/alarm-metrics.ts'
import { exposition } from '../metrics/exposition.ts'
import { gatewayMetrics } from '../metrics/gateway-metrics.ts'

export const metricsRoute = defineRoute({
  method: 'GET',
  path: '/metrics',
  summary: 'The same figures and counters for a metrics collector',
  parameters: [],
  query: noQuery,
  queryExample: {},
  needs: 'view',
  response: {
    kind: 'text',
    description: 'Prometheus text exposition format 0.0.4. What is unknown is absent, never zero.',
    contentType: 'text/plain; version=0.0.4; charset=utf-8',
    example:
      '# HELP evenpull_force_newtons Mean force along the arrow over the averaging window.\n' +
      '# TYPE evenpull_force_newtons gauge\n' +
      'evenpull_force_newtons{zone="unwind",side="drive_side"} 412.5\n',
  },
  refusals: {},
  perSecond: null,
  handle: ({ sources }) => {
    const { zones } = sources.zones()
    const nows = zones.map((zone) => sources.zoneNow(zone.id)).filter((now) => now !== undefined)
    return exposition([...gatewayMetrics(sources.health(), nows), ...alarmMetrics(sources.alarms())])
  },
})
