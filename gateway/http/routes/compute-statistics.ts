import { computeStatistics } from '../../../lib/verdicts/computed-series.ts'
import { statisticsRequest, statisticsResult } from '../../../shared/schemas/compute-statistics.ts'
import { computeRoute } from '../compute.ts'
import { exampleStatistics } from '../compute-examples.ts'

export const computeStatisticsRoute = computeRoute({
  name: 'statistics',
  summary: 'Statistics of a recorded stretch, by the code that judges it live: mean, side difference, noise, drift',
  request: statisticsRequest,
  result: statisticsResult,
  requestDescription:
    'Times and the force of each side, N, taken as one steady window; null where a sample is missing or bad.',
  resultDescription: 'Each figure with uncertainty, limit and verdict, as in /api/zones/{id}/now.',
  example: exampleStatistics,
  compute: computeStatistics,
})
