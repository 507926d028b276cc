import { diagnose } from '../../../lib/diagnosis/diagnose.ts'
import { diagnosis, diagnosisRequest } from '../../../shared/schemas/diagnosis.ts'
import { computeRoute } from '../compute.ts'
import { exampleDiagnosis } from '../compute-examples.ts'

export const computeDiagnosisRoute = computeRoute({
  name: 'diagnosis',
  summary: 'Ranked causes for what was measured, what speaks for and against each, and the test to make next',
  request: diagnosisRequest,
  result: diagnosis,
  requestDescription:
    'Measured features, each with its standard uncertainty in the unit of the catalogue, and what the predictions need to know of the zone. What was not measured is left out.',
  resultDescription:
    'Probabilities over all causes with `healthy` and `unknown` among them; what cannot be told apart is grouped, and never claimed singly.',
  example: exampleDiagnosis,
  // Up to a few tenths of a second each.
  perSecond: 3,
  compute: diagnose,
})
