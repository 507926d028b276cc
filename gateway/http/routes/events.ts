import { eventList, eventsQuery } from '../../../shared/schemas/events.ts'
import { defineRoute } from '../define-route.ts'
import { exampleEvents } from '../history-examples.ts'

const PER_SECOND = 20

export const eventsRoute = defineRoute({
  method: 'GET',
  path: '/api/events',
  summary: 'The trail: what happened to the gateway, its devices, config, alarms and data, newest first',
  needs: 'view',
  parameters: [],
  query: eventsQuery,
  queryExample: { limit: 100 },
  response: {
    kind: 'json',
    description: 'Lines of the trail; ask again with `before` for older ones.',
    schema: eventList,
    example: exampleEvents,
  },
  refusals: { 429: `More than ${PER_SECOND} requests in a second.`, 503: 'The store cannot be read.' },
  perSecond: PER_SECOND,
  handle: ({ query, sources }) => sources.events(query),
})
