import type { Side } from '../../shared/sample.ts'
import type { FeatureId } from '../../shared/schemas/diagnosis.ts'
import type { Effect, Touched } from './cause.ts'
import type { Expectation } from './density.ts'
import { FEATURES } from './features.ts'

export type FeatureKey = `${FeatureId}@${Side | 'zone'}`
export const keyOf = (id: FeatureId, side: Side | null): FeatureKey => `${id}@${side ?? 'zone'}`

export const featureOf = (key: FeatureKey): FeatureId => key.slice(0, key.indexOf('@')) as FeatureId

/** What all that is wrong does, by feature and side. */
export type Effects = ReadonlyMap<FeatureKey, readonly Effect[]>

/** The effects of a cause that sits on `side` (null: on none or all) of a zone with these sides. */
export function effectsOf(touched: readonly Touched[], side: Side | null, sides: readonly Side[]): Effects {
  const effects = new Map<FeatureKey, Effect[]>()
  for (const { feature, at, effect } of touched)
    for (const one of placesOf(at, side, sides)) {
      const key = keyOf(feature, one)
      effects.set(key, [...(effects.get(key) ?? []), effect])
    }
  return effects
}

function placesOf(at: Touched['at'], side: Side | null, sides: readonly Side[]): readonly (Side | null)[] {
  if (at === 'zone') return [null]
  return at === 'all' || side === null ? sides : [side]
}

/** Two things wrong at once: independent, so their effects add. */
export function bothEffects(first: Effects, second: Effects): Effects {
  const both = new Map<FeatureKey, readonly Effect[]>(first)
  for (const [key, effects] of second) both.set(key, [...(both.get(key) ?? []), ...effects])
  return both
}

/** Asked again and again for the same effects, which never change. */
const remembered = new WeakMap<readonly Effect[], Expectation>()

/** What is expected of a feature: that of a healthy install, moved and spread by what is wrong with it. */
export function expectationOf(id: FeatureId, effects: readonly Effect[]): Expectation {
  const { healthy } = FEATURES[id]
  if (effects.length === 0) return healthy
  const known = remembered.get(effects)
  if (known !== undefined) return known
  const found = effects.reduce<Expectation>((so, effect) => after(so, effect, healthy.mean), healthy)
  remembered.set(effects, found)
  return found
}

/** Of several answers that are wrong for several reasons, the one furthest from the usual holds. */
function after({ mean, sd }: Expectation, effect: Effect, usual: number): Expectation {
  switch (effect.kind) {
    case 'add':
      return { mean: mean + effect.by, sd: Math.hypot(sd, effect.sd) }
    case 'amplitude':
      return inQuadrature({ mean, sd }, effect)
    case 'times':
      return { mean: mean + Math.log(effect.by), sd: Math.hypot(sd, Math.log(effect.factor)) }
    case 'set':
      return { mean: Math.log(effect.value), sd: Math.log(effect.factor) }
    case 'at':
      return { mean: effect.mean, sd: effect.sd }
    case 'yes':
      return { mean: Math.abs(effect.share - usual) > Math.abs(mean - usual) ? effect.share : mean, sd }
  }
}

/** √(usual² + added²), each with its own share of the spread. */
function inQuadrature(
  { mean, sd }: Expectation,
  { value, factor }: Extract<Effect, { kind: 'amplitude' }>,
): Expectation {
  const [usual, added] = [Math.exp(2 * mean), value ** 2]
  const share = added / (usual + added)
  return { mean: Math.log(usual + added) / 2, sd: Math.hypot((1 - share) * sd, share * Math.log(factor)) }
}
