import { historyQuery, zoneHistory } from '../../../shared/schemas/history.ts'
import { defineRoute } from '../define-route.ts'
import { exampleHistory } from '../history-examples.ts'

/** Reading a long stretch takes a core for a moment. */
const PER_SECOND = 20

export const zoneHistoryRoute = defineRoute({
  method: 'GET',
  path: '/api/zones/{id}/history',
  summary: 'What a zone did over a range: min, max and mean of good samples a bucket, with the revisions in force',
  needs: 'view',
  parameters: [{ name: 'id', description: 'Id of the zone, as in /api/zones', example: exampleHistory.zone }],
  query: historyQuery,
  queryExample: { from: exampleHistory.fromMs, to: exampleHistory.toMs, points: 1000 },
  response: {
    kind: 'json',
    description: 'Buckets on absolute time, at most `points` and one; null where there was no good sample.',
    schema: zoneHistory,
    example: exampleHistory,
  },
  refusals: {
    404: 'No such zone.',
    429: `More than ${PER_SECOND} requests in a second.`,
    503: 'Recording is off or has stopped.',
  },
  perSecond: PER_SECOND,
  handle: ({ params, query, sources }) => sources.history(params.id ?? '', query),
})
