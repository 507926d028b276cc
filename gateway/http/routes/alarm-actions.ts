import type { z } from 'zod'
import { type Alarm, alarm, alarmShelving, alarmSigned, alarmTakenOut } from '../../../shared/schemas/alarms.ts'
import { exampleAlarms } from '../alarm-examples.ts'
import { defineRoute, noQuery } from '../define-route.ts'
import type { AlarmDesk, Route } from '../route.ts'

/** Names and reasons; more is not meant for a trail. */
const MAX_ACTION_BYTES = 4096
/** A person clears a row of alarms one by one. */
const ACTIONS_PER_SECOND = 20

interface Action<Body extends z.ZodType> {
  readonly name: string
  readonly summary: string
  readonly body: Body
  readonly example: unknown
  readonly refusals?: Readonly<Record<number, string>>
  readonly act: (desk: AlarmDesk, id: string, body: z.output<Body>) => Promise<Alarm>
}

const who = 'A. Fitter'

/** What a person does to an alarm: each a POST with who does it, each a transition in the trail. Doing it twice is as once. */
export const alarmActionRoutes: readonly Route[] = [
  actionRoute({
    name: 'acknowledge',
    summary: 'Say that somebody has seen an alarm; one that has returned ends by it',
    body: alarmSigned,
    example: { who },
    act: (desk, id, body) => desk.acknowledge(id, body.who),
  }),
  actionRoute({
    name: 'shelve',
    summary: 'Silence an alarm for a time, with the reason; active still when the time is up, it asks anew',
    body: alarmShelving,
    example: { who, reason: 'web break, being threaded', minutes: 30 },
    refusals: { 409: 'The alarm is out of service.' },
    act: (desk, id, body) => desk.shelve(id, body),
  }),
  actionRoute({
    name: 'unshelve',
    summary: 'End the shelving of an alarm before its time',
    body: alarmSigned,
    example: { who },
    act: (desk, id, body) => desk.unshelve(id, body.who),
  }),
  actionRoute({
    name: 'out-of-service',
    summary: 'Take an alarm out of service, with the reason, until somebody puts it back; every page says so',
    body: alarmTakenOut,
    example: { who, reason: 'cell sent for repair' },
    act: (desk, id, body) => desk.takeOut(id, body.who, body.reason),
  }),
  actionRoute({
    name: 'in-service',
    summary: 'Put an alarm back in service; it knows nothing before its next data',
    body: alarmSigned,
    example: { who },
    act: (desk, id, body) => desk.putBack(id, body.who),
  }),
]

function actionRoute<Body extends z.ZodType>({ name, summary, body, example, refusals, act }: Action<Body>): Route {
  return defineRoute({
    method: 'POST',
    path: `/api/alarms/{id}/${name}`,
    summary,
    parameters: [
      { name: 'id', description: 'Id of the alarm, as in /api/alarms', example: exampleAlarms.alarms[0]?.id ?? '' },
    ],
    query: noQuery,
    queryExample: {},
    needs: 'operate',
    body: {
      description: 'Who does it, and why where that is asked.',
      schema: body,
      maxBytes: MAX_ACTION_BYTES,
      example,
    },
    response: {
      kind: 'json',
      description: 'The alarm as it stands then.',
      schema: alarm,
      example: exampleAlarms.alarms[0],
    },
    refusals: { 404: 'No such alarm, or it is off in the config.', ...refusals },
    perSecond: ACTIONS_PER_SECOND,
    handle: ({ params, body: sent, sources }) => act(sources.alarmDesk, params.id ?? '', sent),
  })
}
