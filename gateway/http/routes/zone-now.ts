import { zoneNow } from '../../../shared/schemas/now.ts'
import { notThere } from '../../not-there.ts'
import { defineRoute, noQuery } from '../define-route.ts'
import { exampleZoneNow } from '../examples.ts'

export const zoneNowRoute = defineRoute({
  method: 'GET',
  path: '/api/zones/{id}/now',
  summary: 'What a zone is doing now: each figure with its uncertainty, limit, verdict, window and time',
  parameters: [{ name: 'id', description: 'Id of the zone, as in /api/zones', example: exampleZoneNow.zone }],
  query: noQuery,
  queryExample: {},
  needs: 'view',
  response: {
    kind: 'json',
    description: 'A figure that cannot be told has `value: null` and says why in `waiting`.',
    schema: zoneNow,
    example: exampleZoneNow,
  },
  refusals: { 404: 'No such zone.' },
  perSecond: null,
  handle({ params, sources }) {
    const id = params.id ?? ''
    const now = sources.zoneNow(id)
    if (now === undefined) throw notThere('zone', id)
    return now
  },
})
