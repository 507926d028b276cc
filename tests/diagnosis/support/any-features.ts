import fc from 'fast-check'
import { FEATURES } from '../../../lib/diagnosis/features.ts'
import { type DiagnosisFeature, FEATURE_IDS } from '../../../shared/schemas/diagnosis.ts'
import { feature } from './pictures.ts'

/** Any reading that can be, of any feature. */
export const anyFeature: fc.Arbitrary<DiagnosisFeature> = fc.constantFrom(...FEATURE_IDS).chain((id) => {
  const { scale, range, sided } = FEATURES[id]
  const side = sided ? fc.constantFrom('drive_side' as const, 'operator_side' as const) : fc.constant(null)
  const value = scale === 'yes-no' ? fc.constantFrom(0, 1) : fc.double({ min: range[0], max: range[1], noNaN: true })
  const u = scale === 'yes-no' ? fc.constant(0) : fc.double({ min: 0, max: 5, noNaN: true })
  return fc.tuple(value, u, side).map(([of, about, at]) => feature(id, of, about, at))
})

export const anyFeatures = fc.array(anyFeature, { maxLength: 30 })
