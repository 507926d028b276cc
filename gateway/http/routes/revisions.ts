import { revisionList, revisionQuery } from '../../../shared/schemas/config-write.ts'
import { exampleRevisions } from '../config-examples.ts'
import { defineRoute } from '../define-route.ts'

export const revisionsRoute = defineRoute({
  method: 'GET',
  path: '/api/revisions',
  summary: 'What was changed in the config, when and by whom, newest first',
  parameters: [],
  query: revisionQuery,
  queryExample: { limit: 50 },
  needs: 'view',
  response: {
    kind: 'json',
    description: 'Changes from a page with their author, edits by hand without; each key with before and after.',
    schema: revisionList,
    example: exampleRevisions,
  },
  refusals: {},
  perSecond: 10,
  handle: ({ query, sources }) => sources.revisions(query.limit),
})
