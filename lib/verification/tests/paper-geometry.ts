import { answered, noted } from '../figure.ts'
import { notDone, resultOf } from '../result.ts'
import type { VerificationTest } from '../test.ts'

/** Everything that later tests are held against must be on paper first. */
export const paperGeometry: VerificationTest = {
  id: 'paper.geometry',
  stage: 'paper',
  title: 'Geometry complete',
  proves:
    'The web path, the roller and the cells are described, so that there is something to hold the signals against.',
  effect: 'Without it nothing says what the signals should be; only the sides can be compared.',
  caution: null,
  steps: ['Look at the page Geometry: the drawing must show the path the web really runs.'],
  automatic: true,
  plan: () => ({ fields: [], captures: [], limits: [], notFor: null }),
  judge({ geometry, expected, zone }) {
    if (geometry === null) return notDone('the zone has no geometry; draw it on the page Geometry')
    const name = (id: string, title: string) => ({ id, title })
    const says = 'from the config'
    return resultOf(
      [
        answered(name('path-possible', 'The web can run as drawn'), typeof expected !== 'string', 'yes', says),
        answered(name('output-described', 'What the meter should say is described'), geometry.tellsSignal, 'yes', says),
        answered(name('weight-given', 'Basis weight is given'), geometry.geometry.web.basisWeight > 0, 'yes', says),
        noted(name('speed-channel', 'A channel tells the speed; else it is typed'), zone.speed !== undefined, says),
        noted(
          name('reference-channel', 'A channel tells the set tension; else it is typed'),
          zone.reference !== undefined,
          says,
        ),
      ],
      [typeof expected === 'string' ? expected : 'What is missing can be added on the page Geometry or in the config.'],
    )
  },
}
