import { zoneDiagnosis, zoneDiagnosisQuery } from '../../../shared/schemas/zone-diagnosis.ts'
import { defineRoute } from '../define-route.ts'
import { exampleZoneDiagnosis } from '../diagnosis-example.ts'

export const zoneDiagnosisRoute = defineRoute({
  method: 'GET',
  path: '/api/zones/{id}/diagnosis',
  summary: 'What could be wrong with a zone: ranked causes from what runs now, and from a verification record',
  parameters: [{ name: 'id', description: 'Id of the zone, as in /api/zones', example: exampleZoneDiagnosis.zone }],
  query: zoneDiagnosisQuery,
  queryExample: {},
  needs: 'view',
  response: {
    kind: 'json',
    description:
      'The features that went in, the context, and the diagnosis. An open record is read together with what runs now; a signed one alone.',
    schema: zoneDiagnosis,
    example: exampleZoneDiagnosis,
  },
  refusals: {
    404: 'No such zone, or this zone has no such record.',
    503: 'Recording is off, and a record was asked for.',
  },
  perSecond: 5,
  handle: ({ params, query, sources }) => sources.diagnosis(params.id ?? '', query.record),
})
