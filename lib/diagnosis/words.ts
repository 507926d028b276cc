import type { Side } from '../../shared/sample.ts'
import type { DiagnosisFeature, FeatureId } from '../../shared/schemas/diagnosis.ts'
import { plusMinus, withUnit } from '../statistics/plus-minus.ts'
import { shortNumber } from '../statistics/words.ts'
import type { Expectation } from './density.ts'
import { FEATURES } from './features.ts'
import type { Hypothesis } from './hypotheses.ts'

const SIDES: Readonly<Record<Side, string>> = {
  drive_side: 'drive side',
  operator_side: 'operator side',
  single: 'single cell',
}

/** "Hysteresis, drive side". */
export const featureName = (id: FeatureId, side: Side | null): string =>
  side === null || side === 'single' ? FEATURES[id].title : `${FEATURES[id].title}, ${SIDES[side]}`

/** "One arrow off its target, drive side". */
export const causeName = ({ id, side, cause }: Pick<Hypothesis, 'id' | 'side' | 'cause'>): string => {
  const title = cause?.title ?? (id === 'healthy' ? 'Nothing found' : 'Something else')
  return side === null || side === 'single' ? title : `${title}, ${SIDES[side]}`
}

/** "Hysteresis, drive side 2.1 ± 0.1 % of span (at most 0.5 % of span)"; yes and no as such. */
export function readingInWords({ id, side, value, u, limit }: DiagnosisFeature): string {
  const { scale, unit } = FEATURES[id]
  const name = featureName(id, side)
  if (scale === 'yes-no') return `${name}: ${value >= 0.5 ? 'yes' : 'no'}`
  const number = plusMinus(value, 2 * u)
  return `${name} ${withUnit(number, unit)}${limit === null ? '' : ` (limit ${limit})`}`
}

/** "0.1 to 0.4 % of span": the middle 95 % of what is expected, or the share of yes. */
export function expectationInWords(id: FeatureId, { mean, sd }: Expectation): string {
  const { scale, unit } = FEATURES[id]
  if (scale === 'yes-no') return `yes in ${shortNumber(100 * mean)} of 100`
  if (scale === 'log')
    return withUnit(`${shortNumber(Math.exp(mean - 2 * sd))} to ${shortNumber(Math.exp(mean + 2 * sd))}`, unit)
  return withUnit(plusMinus(mean, 2 * sd), unit)
}

/** "A, B or C". */
export function orOf(names: readonly string[]): string {
  if (names.length < 2) return names.join('')
  return `${names.slice(0, -1).join(', ')} or ${names.at(-1)}`
}
