import { diagnose } from '../../lib/diagnosis/diagnose.ts'
import { diagnosisRequest } from '../../shared/schemas/diagnosis.ts'
import type { ZoneDiagnosis } from '../../shared/schemas/zone-diagnosis.ts'
import { exampleDiagnosis } from './compute-examples.ts'
import { examplePlan } from './verification-examples.ts'

const request = diagnosisRequest.parse(exampleDiagnosis)

export const exampleZoneDiagnosis: ZoneDiagnosis = {
  zone: examplePlan.zone,
  timeMs: Date.parse('2031-03-04T10:00:00Z'),
  record: null,
  ...request,
  diagnosis: diagnose(request),
}
