import { ALARM_STATES } from '../../../shared/alarms.ts'
import type { AlarmList } from '../../../shared/schemas/alarms.ts'
import type { MetricFamily } from './exposition.ts'

/** State of each alarm, what is off, how many called lately, and the webhook. */
export function alarmMetrics({ alarms, off, flood, webhook, notKept }: AlarmList): MetricFamily[] {
  const gauge = (name: string, help: string, samples: MetricFamily['samples']): MetricFamily => ({
    name: `evenpull_${name}`,
    type: 'gauge',
    help,
    samples,
  })
  const one = (value: number) => [{ labels: {}, value }]
  const webhookCount = (name: string, help: string, value: number | undefined): MetricFamily => ({
    ...gauge(`alarm_webhook_${name}_total`, help, value === undefined ? [] : one(value)),
    type: 'counter',
  })
  return [
    gauge(
      'alarm_state',
      '1 for the state an alarm is in, 0 for the others.',
      alarms.flatMap(({ id, zone, priority, state: present }) =>
        ALARM_STATES.map((state) => ({
          labels: { alarm: id, ...(zone === null ? {} : { zone }), priority, state },
          value: state === present ? 1 : 0,
        })),
      ),
    ),
    gauge(
      'alarm_asks',
      '1 for an alarm that waits for a person and is not put aside.',
      alarms.map(({ id, priority, asksForNotice }) => ({
        labels: { alarm: id, priority },
        value: asksForNotice ? 1 : 0,
      })),
    ),
    gauge('alarms_off', 'Alarms that the config turns off or does not allow.', one(off.length)),
    gauge(
      'alarm_announcements_per_position',
      'Alarms that called for each operator position in the newest 10 min.',
      one(flood.perPosition),
    ),
    gauge(
      'alarm_states_kept',
      '1 while a restart would not forget what people did to alarms.',
      one(notKept === null ? 1 : 0),
    ),
    gauge(
      'alarm_webhook_failing',
      '1 while the webhook does not take messages.',
      webhook === null ? [] : one(webhook.state === 'failing' ? 1 : 0),
    ),
    gauge('alarm_webhook_waiting', 'Messages that wait for the webhook.', webhook === null ? [] : one(webhook.waiting)),
    webhookCount('delivered', 'Messages the webhook took.', webhook?.delivered),
    webhookCount('dropped', 'Messages given up.', webhook?.dropped),
  ]
}
