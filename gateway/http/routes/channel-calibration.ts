import { calibrationChange, changeWritten } from '../../../shared/schemas/config-write.ts'
import { CHANGE_REFUSALS, CHANGES_PER_SECOND, MAX_CHANGE_BYTES } from '../changes.ts'
import { exampleCalibrationChange, exampleWritten } from '../config-examples.ts'
import { defineRoute, noQuery } from '../define-route.ts'

export const channelCalibrationRoute = defineRoute({
  method: 'POST',
  path: '/api/channels/{id}/calibration',
  summary: 'Write a zero, a gain or both of a load cell into the config, as a revision with what stands behind them',
  parameters: [{ name: 'id', description: 'Id of the channel, as in /api/health', example: 'cell-1' }],
  query: noQuery,
  queryExample: {},
  body: {
    description:
      'Zero in the electrical unit, gain in N per electrical unit; the readings and the fit they came from, who answers for them, and the revision they were taken under.',
    schema: calibrationChange,
    maxBytes: MAX_CHANGE_BYTES,
    example: exampleCalibrationChange,
  },
  needs: 'operate',
  // A zero is taken at the machine; a gain is a calibration.
  needsFor: ({ gainN, uGainPercent }) => (gainN === undefined && uGainPercent === undefined ? 'operate' : 'engineer'),
  response: {
    kind: 'json',
    description: 'The revision now in force.',
    schema: changeWritten,
    example: exampleWritten,
  },
  refusals: { ...CHANGE_REFUSALS, 404: 'No such channel.' },
  perSecond: CHANGES_PER_SECOND,
  handle: ({ params, body, sources }) => sources.calibrate(params.id ?? '', body),
})
