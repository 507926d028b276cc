import { computeGeometry } from '../../../lib/geometry/compute.ts'
import { geometryRequest, geometryResult } from '../../../shared/schemas/compute-geometry.ts'
import { computeRoute } from '../compute.ts'
import { exampleGeometry } from '../compute-examples.ts'

export const computeGeometryRoute = computeRoute({
  name: 'geometry',
  summary: 'What the signals should be: wrap, forces, signals, capacity, warnings and uncertainty from the web path',
  request: geometryRequest,
  result: geometryResult,
  requestDescription:
    'Web path, cells, roller and web, and what the zone is doing; SI, angles in rad counter-clockwise from downstream.',
  resultDescription:
    'Everything expected, with linear uncertainty and its budget; a path that cannot be says why (`possible: false`).',
  example: exampleGeometry,
  compute: computeGeometry,
})
