import type { Side } from '../../shared/sample.ts'
import type { Capture } from '../../shared/schemas/verification.ts'
import { propagateExpected } from '../geometry/expected-uncertainty.ts'
import { givenAt } from '../geometry/from-config.ts'
import { momentumTerm } from '../geometry/resultant.ts'
import { ofSide } from '../geometry/sided.ts'
import type { Uncertain } from '../uncertainty/uncertain.ts'
import { paperState, type VerificationContext } from './context.ts'

export interface ExpectedAt {
  /** Of the web alone along each arrow, N, with its standard uncertainty. */
  readonly side: (side: Side) => Uncertain
  readonly tension: number
  /** m v², N; 0 where no basis weight is given. */
  readonly momentum: number
  readonly speed: number
}

/**
 * What the geometry expects while a capture ran: at its mean reference, speed and neighbour, as typed where no channel
 * tells them. A sentence where nothing can be expected.
 */
export function expectedAt(context: VerificationContext, capture: Capture): ExpectedAt | string {
  const { geometry: configured, zone } = context
  if (configured === null) return 'the zone has no geometry'
  if (zone.reference !== undefined && capture.reference === null) return 'the reference channel gave no good samples'
  if (zone.speed !== undefined && capture.speed === null) return 'the speed channel gave no good samples'
  const usual = paperState(zone, configured)
  const tension = capture.reference?.value ?? configured.typedTension
  const speed = capture.speed?.value ?? usual.speed
  const radius = capture.neighbour === null ? usual.neighbour : capture.neighbour.value / 2
  const state = { ...usual, tension, speed, neighbour: radius }
  const given = givenAt(configured, tension, capture.reference === null ? undefined : ofReference(context, capture))
  const figures = propagateExpected({ geometry: configured.geometry, state, given, correlations: [] })
  const { width, basisWeight } = configured.geometry.web
  return {
    side: (side) => {
      const { value, u } = ofSide(figures.sides, side).webForce
      return { value, u }
    },
    tension,
    momentum: momentumTerm(basisWeight * width, speed),
    speed,
  }
}

function ofReference({ zone, channels }: VerificationContext, capture: Capture) {
  const scale = zone.reference === undefined ? undefined : channels.get(zone.reference)?.scale
  const percent = scale?.u_percent ?? 0.5
  const value = capture.reference?.value ?? 0
  const systematic = (Math.abs(value) * percent) / 100
  return { u: Math.hypot(systematic, capture.reference?.u ?? 0), source: 'reference channel' }
}
