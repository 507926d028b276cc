import {
  changeWritten,
  type GeometryChangeInput,
  geometryChange,
  geometryView,
} from '../../../shared/schemas/config-write.ts'
import { notThere } from '../../not-there.ts'
import { CHANGE_REFUSALS, CHANGES_PER_SECOND, MAX_CHANGE_BYTES } from '../changes.ts'
import { exampleGeometryChange, exampleGeometryView, exampleWritten } from '../config-examples.ts'
import { defineRoute, noQuery } from '../define-route.ts'

const path = '/api/zones/{id}/geometry'
const parameters = [
  { name: 'id', description: 'Id of the zone, as in /api/zones', example: exampleGeometryView.zone.id },
]

export const zoneGeometryRoute = defineRoute({
  method: 'GET',
  path,
  summary:
    'Web path, arrows and weights of a zone as the config has them, and what else a page needs to work with them',
  parameters,
  query: noQuery,
  queryExample: {},
  needs: 'view',
  response: {
    kind: 'json',
    description: 'The geometry as written, before defaults; null when the zone has none.',
    schema: geometryView,
    example: exampleGeometryView,
  },
  refusals: { 404: 'No such zone.' },
  perSecond: null,
  handle({ params, sources }) {
    const id = params.id ?? ''
    const view = sources.geometry(id)
    if (view === undefined) throw notThere('zone', id)
    return view
  },
})

export const changeZoneGeometryRoute = defineRoute({
  method: 'PUT',
  path,
  summary: 'Write the geometry of a zone into the config, as a revision',
  parameters,
  query: noQuery,
  queryExample: {},
  body: {
    description: 'The whole geometry, who answers for it, and the revision it was made from; null takes it out.',
    schema: geometryChange,
    maxBytes: MAX_CHANGE_BYTES,
    example: exampleGeometryChange,
  },
  needs: 'engineer',
  response: {
    kind: 'json',
    description: 'The revision now in force.',
    schema: changeWritten,
    example: exampleWritten,
  },
  refusals: { ...CHANGE_REFUSALS, 404: 'No such zone.' },
  perSecond: CHANGES_PER_SECOND,
  handle: ({ params, body, sent, sources }) =>
    sources.changeGeometry(params.id ?? '', {
      ...body,
      // As written: a default that nobody typed stays out of the file.
      geometry: (sent as GeometryChangeInput).geometry,
    }),
})
