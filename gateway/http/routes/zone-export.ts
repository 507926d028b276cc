import { exportProgress, exportQuery } from '../../../shared/schemas/export.ts'
import { nameOf } from '../../access/caller.ts'
import { MOST_AT_ONCE } from '../../export/export-jobs.ts'
import { FORMATS } from '../../export/write-export.ts'
import { defineRoute, noQuery } from '../define-route.ts'
import { exampleHistory } from '../history-examples.ts'

const JOB = { name: 'job', description: 'The name given to the export', example: 'a1b2c3d4' }
const EXAMPLE = { job: 'a1b2c3d4', state: 'running', rows: 20_000, share: 0.25, why: null }
const NO_JOB = { 404: 'No such export, or it ended long ago.' }

export const zoneExportRoute = defineRoute({
  method: 'GET',
  path: '/api/zones/{id}/export',
  summary: 'Every sample of a zone in a range, as a file, with units and config revisions in it',
  needs: 'view',
  parameters: [{ name: 'id', description: 'Id of the zone, as in /api/zones', example: exampleHistory.zone }],
  query: exportQuery,
  queryExample: { from: exampleHistory.fromMs, to: exampleHistory.toMs, format: 'csv' },
  response: {
    kind: 'file',
    description:
      'The file, as it is read from the store. It breaks off when it is cancelled: only a whole one has its end.',
    contentTypes: Object.values(FORMATS).map(({ contentType }) => contentType),
  },
  refusals: {
    404: 'No such zone, or it has no sample in this range.',
    429: `More than ${MOST_AT_ONCE} exports at once.`,
    503: 'Recording is off or has stopped.',
  },
  perSecond: 5,
  handle: ({ params, query, caller, sources }) => sources.exports.begin(params.id ?? '', query, nameOf(caller)),
})

export const exportProgressRoute = defineRoute({
  method: 'GET',
  path: '/api/exports/{job}',
  summary: 'How far an export has come',
  needs: 'view',
  parameters: [JOB],
  query: noQuery,
  queryExample: {},
  response: { kind: 'json', description: 'Its state, rows and share.', schema: exportProgress, example: EXAMPLE },
  refusals: NO_JOB,
  perSecond: null,
  handle: ({ params, sources }) => sources.exports.progress(params.job ?? ''),
})

export const cancelExportRoute = defineRoute({
  method: 'POST',
  path: '/api/exports/{job}/cancel',
  summary: 'Cancel an export: its file breaks off',
  needs: 'view',
  parameters: [JOB],
  query: noQuery,
  queryExample: {},
  response: {
    kind: 'json',
    description: 'How far it had come. One that has ended stays as it is.',
    schema: exportProgress,
    example: EXAMPLE,
  },
  refusals: NO_JOB,
  perSecond: null,
  handle: ({ params, sources }) => sources.exports.cancel(params.job ?? ''),
})
