import type { ZoneGeometry } from '../../../lib/geometry/description.ts'
import type { GeometryUncertainties } from '../../../lib/geometry/from-config.ts'
import { entriesOf } from '../../../lib/geometry/sided.ts'
import type { GivenUncertainty, Uncertainties } from '../../../lib/geometry/uncertain-inputs.ts'
import type { ZoneFacts } from '../../../shared/schemas/config-write.ts'

const SOURCE = 'uncertainty in this geometry'

/** The drawing's own standard uncertainties, input by input, as the propagation wants them. */
export function givenUncertainties(
  u: GeometryUncertainties,
  { roller, web, cells }: ZoneGeometry,
  tension: number,
  facts: ZoneFacts,
): Uncertainties {
  const of = (value: number): GivenUncertainty => ({ u: value, source: SOURCE })
  const rollers = (['before', 'measuring', 'after'] as const).flatMap((which) => [
    [`${which}.x`, of(u.position)] as const,
    [`${which}.y`, of(u.position)] as const,
    [`${which}.radius`, of(u.radius)] as const,
  ])
  const sides = entriesOf(cells).flatMap(([side]) => [
    [`arrow.${side}`, of(u.arrow)] as const,
    [
      `sensitivity.${side}`,
      { u: (facts.cells[side]?.uGainPercent ?? 0) / 100, source: 'u_gain_percent of the channel' },
    ] as const,
  ])
  return {
    ...Object.fromEntries([...rollers, ...sides]),
    mass: of(u.mass * roller.mass),
    basisWeight: of(u.basisWeight * web.basisWeight),
    tension: of(u.tension * tension),
    lineOfPull: of(u.lineOfPull),
  }
}
