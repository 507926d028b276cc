import { composeSummary } from '../../../lib/summary/compose.ts'
import { shiftQuery } from '../../../shared/schemas/shift.ts'
import { shiftSummary } from '../../../shared/schemas/shift-summary.ts'
import { notThere } from '../../not-there.ts'
import { defineRoute } from '../define-route.ts'
import { exampleEvents, exampleHistory } from '../history-examples.ts'
import { exampleShift } from '../shift-example.ts'

export const exampleSummary = composeSummary({
  plant: 'Example plant',
  line: 'Line 1',
  zone: { id: exampleShift.zone, name: 'Unwind' },
  fromMs: exampleShift.fromMs,
  toMs: exampleShift.toMs,
  madeMs: exampleShift.toMs,
  history: exampleHistory,
  analysis: exampleShift,
  isCompared: false,
  events: exampleEvents.events,
  alarmsBefore: [],
})

export const zoneSummaryRoute = defineRoute({
  method: 'GET',
  path: '/api/zones/{id}/summary',
  summary:
    'The facts of a shift that its printed summary shows: times, config, steadiness, means, drifts, alarms, notes',
  parameters: [{ name: 'id', description: 'Id of the zone, as in /api/zones', example: exampleShift.zone }],
  query: shiftQuery,
  queryExample: { from: exampleShift.fromMs, to: exampleShift.toMs },
  needs: 'view',
  response: {
    kind: 'json',
    description:
      'Put together from the history, the shift and the trail of the same range; nothing in it is newer than `madeMs`.',
    schema: shiftSummary,
    example: exampleSummary,
  },
  refusals: { 404: 'No such zone.', 503: 'Recording is off or has stopped.' },
  perSecond: 5,
  async handle({ params, query, sources }) {
    const id = params.id ?? ''
    const summary = await sources.summary(id, query)
    if (summary === undefined) throw notThere('zone', id)
    return summary
  },
})
