import type { Side } from '../../shared/sample.ts'
import type { FeatureId } from '../../shared/schemas/diagnosis.ts'
import type { Measurable } from './distance.ts'
import { keyOf } from './expectation.ts'
import { FEATURES } from './features.ts'

const IDS = Object.keys(FEATURES) as FeatureId[]

/** Every feature of a zone with these sides, with the uncertainty it is usually measured with. */
export const featuresToAsk = (sides: readonly Side[]): readonly Measurable[] =>
  IDS.flatMap((id) =>
    (FEATURES[id].sided ? sides : [null]).map((side) => ({
      key: keyOf(id, side),
      id,
      side,
      u: FEATURES[id].usualU,
    })),
  )
