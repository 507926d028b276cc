import { zoneList } from '../../../shared/schemas/zones.ts'
import { defineRoute, noQuery } from '../define-route.ts'
import { exampleZones } from '../examples.ts'

export const zonesRoute = defineRoute({
  method: 'GET',
  path: '/api/zones',
  summary: 'The zones of this line: one measuring roller each',
  parameters: [],
  query: noQuery,
  queryExample: {},
  needs: 'view',
  response: {
    kind: 'json',
    description: 'Every zone of the config in force.',
    schema: zoneList,
    example: exampleZones,
  },
  refusals: {},
  perSecond: null,
  handle: ({ sources }) => sources.zones(),
})
