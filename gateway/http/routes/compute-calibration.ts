import { computeCalibration } from '../../../lib/calibration/compute.ts'
import { calibrationRequest, calibrationResult } from '../../../shared/schemas/compute-calibration.ts'
import { computeRoute } from '../compute.ts'
import { exampleCalibration } from '../compute-examples.ts'

export const computeCalibrationRoute = computeRoute({
  name: 'calibration',
  summary: 'A known-weight calibration: line, gain with its budget, errors of shape, off-centre check, creep',
  request: calibrationRequest,
  result: calibrationResult,
  requestDescription:
    'Readings of one cell under known weights, up and down, in one or more cycles; SI, angles in rad, readings in the unit of the signal.',
  resultDescription:
    'Each figure with uncertainty, limit and verdict. A figure the readings cannot tell has `value: null` and says what it needs.',
  example: exampleCalibration,
  compute: computeCalibration,
})
