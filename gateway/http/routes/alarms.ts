import { alarmList } from '../../../shared/schemas/alarms.ts'
import { exampleAlarms } from '../alarm-examples.ts'
import { defineRoute, noQuery } from '../define-route.ts'

export const alarmsRoute = defineRoute({
  method: 'GET',
  path: '/api/alarms',
  summary: 'Every alarm as it stands, those that are off with the reason, and how many called lately',
  parameters: [],
  query: noQuery,
  queryExample: {},
  needs: 'view',
  response: {
    kind: 'json',
    description: 'What asks for a person comes first. An alarm without data is unknown, never normal.',
    schema: alarmList,
    example: exampleAlarms,
  },
  refusals: {},
  perSecond: null,
  handle: ({ sources }) => sources.alarms(),
})
