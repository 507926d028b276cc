import { health } from '../../../shared/schemas/health.ts'
import { defineRoute, noQuery } from '../define-route.ts'
import { exampleHealth } from '../examples.ts'

export const healthRoute = defineRoute({
  method: 'GET',
  path: '/api/health',
  summary: 'State of the gateway, its devices, channels and config',
  parameters: [],
  query: noQuery,
  queryExample: {},
  needs: 'view',
  response: {
    kind: 'json',
    description: 'The state now; status 200 also when devices are lost, see `status`.',
    schema: health,
    example: exampleHealth,
  },
  refusals: {},
  perSecond: null,
  handle: ({ sources }) => sources.health(),
})
