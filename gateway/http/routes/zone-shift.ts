import { shiftAnalysis, shiftQuery } from '../../../shared/schemas/shift.ts'
import { notThere } from '../../not-there.ts'
import { defineRoute } from '../define-route.ts'
import { exampleShift } from '../shift-example.ts'

export const zoneShiftRoute = defineRoute({
  method: 'GET',
  path: '/api/zones/{id}/shift',
  summary:
    'What has moved in a zone over a shift: drifts, steps, control charts, zero track, and what changed since an earlier stretch',
  parameters: [{ name: 'id', description: 'Id of the zone, as in /api/zones', example: exampleShift.zone }],
  query: shiftQuery,
  queryExample: { from: exampleShift.fromMs, to: exampleShift.toMs },
  needs: 'view',
  response: {
    kind: 'json',
    description: 'Out of steady minutes alone; a rate that cannot be told has `value: null` and says why in `waiting`.',
    schema: shiftAnalysis,
    example: exampleShift,
  },
  refusals: { 404: 'No such zone.' },
  perSecond: 5,
  async handle({ params, query, sources }) {
    const id = params.id ?? ''
    const shift = await sources.shift(id, query)
    if (shift === undefined) throw notThere('zone', id)
    return shift
  },
})
