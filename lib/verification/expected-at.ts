import type { Side } from '../../shared/sample.ts'
import type { Capture } from '../../shared/schemas/verification/capture.ts'
import type { PlanField } from '../../shared/schemas/verification/plan.ts'
import { propagateExpected, type UncertaintyRequest } from '../geometry/expected-uncertainty.ts'
import { givenAt, neighbourOf } from '../geometry/from-config.ts'
import { ImpossiblePath, pathFaultSentence } from '../geometry/path-fault.ts'
import { momentumTerm } from '../geometry/resultant.ts'
import { ofSide } from '../geometry/sided.ts'
import type { Uncertain } from '../uncertainty/uncertain.ts'
import { toldWith } from './captured.ts'
import { paperState, type VerificationContext } from './context.ts'
import { numberField } from './fields.ts'

export interface ExpectedAt {
  /** Of the web alone along each arrow, N, with its standard uncertainty. */
  readonly side: (side: Side) => Uncertain
  /** Of all sides together, N. */
  readonly total: Uncertain
  readonly tension: number
  /** m v², N; 0 where no basis weight is given. */
  readonly momentum: number
  readonly speed: number
  /** Radius, m, or angle, rad, of a neighbour that moves; null where none does. */
  readonly neighbour: number | null
}

/** What the page asks to be told with a capture of the running web where no channel tells it. */
export function toldFields({ zone, geometry }: VerificationContext): PlanField[] {
  const moving = geometry?.geometry.moving ?? null
  const [label, unit] = moving?.kind === 'winding-roll' ? ['Diameter of the roll', 'mm'] : ['Angle of the arm', '°']
  return [
    ...(zone.speed === undefined ? [numberField('speed', 'Line speed', 'm/min')] : []),
    ...(zone.reference === undefined ? [numberField('tension', 'Set tension', 'N')] : []),
    ...(moving !== null && zone.neighbour === undefined ? [numberField('neighbour', label, unit)] : []),
  ]
}

/** m/s, by its channel or as told with the capture; undefined where neither says it. */
export function speedOf({ zone }: VerificationContext, capture: Capture): number | undefined {
  if (zone.speed !== undefined) return capture.speed?.value
  const told = toldWith(capture, 'speed')
  return told === undefined ? undefined : told / 60
}

/** Set tension, N, likewise. */
export const tensionOf = ({ zone }: VerificationContext, capture: Capture): number | undefined =>
  zone.reference === undefined ? toldWith(capture, 'tension') : capture.reference?.value

/** Place of a neighbour that moves, as the geometry wants it; null where none does, undefined where nothing tells it. */
function placeOf({ zone, geometry }: VerificationContext, capture: Capture): number | null | undefined {
  const moving = geometry?.geometry.moving ?? null
  if (moving === null) return null
  if (zone.neighbour !== undefined)
    return capture.neighbour === null ? undefined : neighbourOf(moving.kind, capture.neighbour.value)
  const told = toldWith(capture, 'neighbour')
  return told === undefined ? undefined : neighbourOf(moving.kind, moving.kind === 'winding-roll' ? told / 1000 : told)
}

/**
 * What the geometry expects while a capture ran: at its mean reference, speed and neighbour, as told with it where no
 * channel tells them. A sentence where nothing can be expected: a channel without good samples is never bridged.
 */
export function expectedAt(context: VerificationContext, capture: Capture): ExpectedAt | string {
  const { geometry: configured, zone } = context
  if (configured === null) return 'the zone has no geometry'
  const tension = tensionOf(context, capture)
  const speed = speedOf(context, capture)
  if (tension === undefined) return untoldBy('set tension', zone.reference)
  if (speed === undefined) return untoldBy('speed', zone.speed)
  const neighbour = placeOf(context, capture)
  if (neighbour === undefined) return untoldBy('place of the neighbour that moves', zone.neighbour)
  const state = { ...paperState(zone, configured), tension, speed, neighbour }
  const given = givenAt(configured, tension, zone.reference === undefined ? undefined : ofReference(context, capture))
  const figures = propagated({ geometry: configured.geometry, state, given, correlations: [] })
  if (typeof figures === 'string') return figures
  const { width, basisWeight } = configured.geometry.web
  return {
    total: { value: figures.webForce.value, u: figures.webForce.u },
    side: (side) => {
      const { value, u } = ofSide(figures.sides, side).webForce
      return { value, u }
    },
    tension,
    neighbour,
    momentum: momentumTerm(basisWeight * width, speed),
    speed,
  }
}

/** A neighbour told where no web could run is a sentence, not an end of the program. */
function propagated(request: UncertaintyRequest): ReturnType<typeof propagateExpected> | string {
  try {
    return propagateExpected(request)
  } catch (error) {
    if (error instanceof ImpossiblePath) return pathFaultSentence(error.fault)
    throw error
  }
}

const untoldBy = (what: string, channel: string | undefined): string =>
  channel === undefined
    ? `the ${what} was not told with the capture`
    : `the channel of the ${what} gave no good samples`

function ofReference({ zone, channels }: VerificationContext, capture: Capture) {
  const scale = zone.reference === undefined ? undefined : channels.get(zone.reference)?.scale
  const percent = scale?.u_percent ?? 0.5
  const value = capture.reference?.value ?? 0
  const systematic = (Math.abs(value) * percent) / 100
  return { u: Math.hypot(systematic, capture.reference?.u ?? 0), source: 'reference channel' }
}
