import { spectrumQuery, zoneSpectrum } from '../../../shared/schemas/spectrum.ts'
import { notThere } from '../../not-there.ts'
import { defineRoute } from '../define-route.ts'
import { exampleSpectrum } from '../spectrum-example.ts'

export const zoneSpectrumRoute = defineRoute({
  method: 'GET',
  path: '/api/zones/{id}/spectrum',
  summary:
    'What the forces do at each frequency: lines with amplitude, uncertainty and everything that could make them',
  parameters: [{ name: 'id', description: 'Id of the zone, as in /api/zones', example: exampleSpectrum.zone }],
  query: spectrumQuery,
  queryExample: { seconds: 60 },
  needs: 'view',
  response: {
    kind: 'json',
    description:
      'From the good samples of the last `seconds`, as they are in memory. A signal that cannot be told is `waiting` and says why.',
    schema: zoneSpectrum,
    example: exampleSpectrum,
  },
  refusals: { 404: 'No such zone.' },
  perSecond: 10,
  handle({ params, query, sources }) {
    const id = params.id ?? ''
    const spectrum = sources.spectrum(id, query.seconds)
    if (spectrum === undefined) throw notThere('zone', id)
    return spectrum
  },
})
