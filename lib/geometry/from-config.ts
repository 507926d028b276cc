import type { ChannelConfig, ZoneConfig } from '../../shared/schemas/config.ts'
import type { GeometryConfig, GeometryRollerConfig } from '../../shared/schemas/geometry.ts'
import type { UncertaintySource } from '../scale/default-uncertainty.ts'
import { capacityN } from '../scale/force.ts'
import { AIR_VISCOSITY_20C } from './air-film.ts'
import type { LoadRange } from './capacity.ts'
import type { Cell, OperatingState, Target, ZoneGeometry } from './description.ts'
import { type DrawingUncertainty, drawingUncertainty } from './drawing-uncertainty.ts'
import { forceInputs, forcesOf } from './forces.ts'
import type { MovingNeighbour } from './neighbour.ts'
import { entriesOf, mapSides, ofSide, type Sided } from './sided.ts'
import type { SignalChain } from './signal.ts'
import type { Roller } from './tangent.ts'
import type { GivenUncertainty, Uncertainties } from './uncertain-inputs.ts'
import { radians, vector } from './vector.ts'

/** Standard uncertainties of what was measured or read off a drawing, SI; shares of 1 where it says so. */
interface GeometryUncertainties {
  /** Of each coordinate of each roller's centre, m. */
  readonly position: number
  readonly radius: number
  /** rad */
  readonly arrow: number
  /** Shares of the value. */
  readonly mass: number
  readonly basisWeight: number
  /** Of a tension that tells none itself. */
  readonly tension: number
  /** m */
  readonly lineOfPull: number
}

/** A zone's geometry as lib/geometry computes with it, and what goes with it. */
export interface ConfiguredGeometry {
  readonly geometry: ZoneGeometry
  readonly uncertainties: GeometryUncertainties
  /** Which of them the config gives, and which are assumed. */
  readonly uncertaintySources: Readonly<Record<keyof GeometryUncertainties, UncertaintySource>>
  /** The moving neighbour as typed: radius, m, or angle, rad; null when nothing moves or nothing was typed. */
  readonly typedNeighbour: number | null
  /** Usual tension as typed, N. */
  readonly typedTension: number
  /** False when the config has no `output`: the cells then carry a stand-in and no signal may be shown. */
  readonly tellsSignal: boolean
}

/** Stands in where the output is not described: share of rated capacity, which has no ends to run out of. */
const NO_OUTPUT: SignalChain = { kind: 'mV/V', ratedOutput: 1, zeroBalance: 0 }

const MM = 1e-3

/**
 * A zone's geometry in SI, from millimetres, degrees and grams; undefined for a zone without geometry.
 *
 * The roller's mass is taken to hang in mid-span. The line of pull may run as far from `web_offset_m` as the zone's
 * limit of the side difference lets it. Throws RangeError for cells and arrows that do not go together, a channel that
 * is no load cell, or a width or cell distance that is missing where it is needed; the config check refuses all of
 * them earlier.
 */
export function geometryFromConfig(
  zone: ZoneConfig,
  channels: ReadonlyMap<string, ChannelConfig>,
): ConfiguredGeometry | undefined {
  const { geometry: config } = zone
  if (config === undefined) return undefined
  return {
    geometry: describe(zone, config, channels),
    ...uncertaintiesOf(config),
    typedNeighbour: typedNeighbour(config),
    typedTension: config.tension.normal_n,
    tellsSignal: config.output !== undefined,
  }
}

/** The usual running state of a zone: typed tension and neighbour, fastest speed, web where it is guided. */
export function usualState(
  zone: ZoneConfig,
  { geometry, typedTension, typedNeighbour }: ConfiguredGeometry,
): OperatingState {
  return {
    tension: typedTension,
    tensionRise: 0,
    speed: geometry.load.fastestSpeed,
    lineOfPull: zone.web_offset_m,
    webOffset: zone.web_offset_m,
    neighbour: typedNeighbour,
  }
}

/** Newtons along each arrow per newton of tension, the neighbour as typed. Throws ImpossiblePath as `wrapOf` does. */
export function usualForceFactors(zone: ZoneConfig, configured: ConfiguredGeometry): Sided<number> {
  const { sides } = forcesOf(forceInputs(configured.geometry, usualState(zone, configured)))
  return mapSides(sides, ({ forceFactor }) => forceFactor)
}

/** Force of the zone's largest tension along each arrow, N, the neighbour as typed: what a share of span is taken of. */
export function usualSpans(zone: ZoneConfig, configured: ConfiguredGeometry): Sided<number> {
  const { sides } = forcesOf(forceInputs(configured.geometry, usualState(zone, configured)))
  const { largest } = configured.geometry.load
  return mapSides(sides, ({ tensionShare, forceFactor }) => Math.abs(tensionShare * forceFactor) * largest)
}

/** Diameter of a winding roll, m, or angle of an arm, °, as `OperatingState.neighbour` wants it. */
export const neighbourOf = (kind: MovingNeighbour['kind'], value: number): number =>
  kind === 'winding-roll' ? value / 2 : radians(value)

function describe(
  zone: ZoneConfig,
  config: GeometryConfig,
  channels: ReadonlyMap<string, ChannelConfig>,
): ZoneGeometry {
  const { rollers } = config
  return {
    path: {
      before: rollers.before.map(rollerOf),
      measuring: rollerOf(rollers.measuring),
      after: rollers.after.map(rollerOf),
    },
    moving: movingOf(config),
    roller: {
      kind: config.roller_kind,
      mass: config.roller_mass_kg,
      centreOfMass: 0,
      friction: config.friction ?? null,
    },
    mount: config.mount,
    cells: cellsOf(zone, config, channels),
    cellDistance: distanceOf(zone),
    web: { width: widthOf(zone, config), basisWeight: config.basis_weight_gsm / 1000 },
    gravity: config.gravity_m_s2,
    target: targetOf(config),
    load: loadOf(zone, config),
    fit: fitOf(zone, config),
    air:
      config.air === undefined
        ? null
        : {
            webRoughness: config.air.web_roughness_um * 1e-6,
            rollerRoughness: config.air.roller_roughness_um * 1e-6,
            viscosity: AIR_VISCOSITY_20C,
          },
  }
}

/** A roller of the config in SI. */
export function rollerOf({ name, x_mm: x, y_mm: y, diameter_mm: diameter, turn }: GeometryRollerConfig): Roller {
  return {
    name,
    centre: vector(x * MM, y * MM),
    radius: (diameter / 2) * MM,
    turn: turn === 'counter-clockwise' ? 1 : -1,
  }
}

function movingOf({ moving }: GeometryConfig): MovingNeighbour | null {
  if (moving === undefined) return null
  if (moving.kind === 'winding-roll')
    return {
      kind: moving.kind,
      at: moving.at,
      coreRadius: (moving.core_diameter_mm / 2) * MM,
      fullRadius: (moving.full_diameter_mm / 2) * MM,
    }
  return {
    kind: moving.kind,
    at: moving.at,
    pivot: vector(moving.pivot_x_mm * MM, moving.pivot_y_mm * MM),
    armLength: moving.arm_mm * MM,
    lowestAngle: radians(moving.lowest_deg),
    highestAngle: radians(moving.highest_deg),
  }
}

function typedNeighbour({ moving }: GeometryConfig): number | null {
  if (moving === undefined) return null
  const typed = moving.kind === 'winding-roll' ? moving.now_mm : moving.now_deg
  if (typed === undefined) return null
  return neighbourOf(moving.kind, moving.kind === 'winding-roll' ? typed * MM : typed)
}

function cellsOf(
  zone: ZoneConfig,
  { arrows_deg: arrows, output }: GeometryConfig,
  channels: ReadonlyMap<string, ChannelConfig>,
): Sided<Cell> {
  return mapSides<string, Cell>(zone.cells, (id, side) => {
    const scale = channels.get(id)?.force
    if (scale === undefined) throw new RangeError(`zone ${zone.id}: channel ${id} is no load cell`)
    return {
      arrow: radians(ofSide<number>(arrows, side)),
      capacity: capacityN(scale),
      chain: output === undefined ? NO_OUTPUT : chainOf(ofSide<OutputConfig>(output, side)),
    }
  })
}

type OutputConfig = Extract<NonNullable<GeometryConfig['output']>, { single: unknown }>['single']

function chainOf(output: OutputConfig): SignalChain {
  if (output.kind === 'mV/V')
    return { kind: output.kind, ratedOutput: output.rated_output_mv_v, zeroBalance: output.zero_balance_mv_v }
  if (output.kind === 'mV')
    return {
      kind: output.kind,
      ratedOutput: output.rated_output_mv_v,
      zeroBalance: output.zero_balance_mv_v,
      excitation: output.excitation_v,
    }
  return { kind: output.kind, fullScaleForce: output.full_scale_n, zeroedOn: output.zeroed_on }
}

function distanceOf({ id, cells, cell_distance_m: distance }: ZoneConfig): number | null {
  if ('single' in cells) return null
  if (distance === undefined) throw new RangeError(`zone ${id}: two cells need the distance between them`)
  return distance
}

function widthOf({ id, web_width_m: width }: ZoneConfig, config: GeometryConfig): number {
  if (width !== undefined) return width
  if (config.basis_weight_gsm > 0 || config.air !== undefined)
    throw new RangeError(`zone ${id}: the web's basis weight and air film need its width`)
  return 0
}

function targetOf({ target, moving }: GeometryConfig): Target {
  switch (target.kind) {
    case 'bisector':
      return target
    case 'mount-axis':
      return { kind: target.kind, angle: radians(target.deg) }
    case 'bisector-at': {
      if (moving === undefined) throw new RangeError('a bisector at a place of a neighbour needs one that moves')
      const value = moving.kind === 'winding-roll' ? target.neighbour * MM : target.neighbour
      return { kind: target.kind, neighbour: neighbourOf(moving.kind, value) }
    }
  }
}

function loadOf(zone: ZoneConfig, { tension }: GeometryConfig): LoadRange {
  const percent = zone.limits.side_difference_percent.value
  const reach = (percent / 100) * ((distanceOf(zone) ?? 0) / 2)
  return {
    smallest: tension.low_n,
    normal: tension.normal_n,
    largest: tension.high_n,
    overloadFactor: tension.overload_factor,
    fastestSpeed: tension.fastest_m_min / 60,
    linesOfPull: [zone.web_offset_m - reach, zone.web_offset_m + reach],
  }
}

function fitOf(zone: ZoneConfig, { fit }: GeometryConfig): ZoneGeometry['fit'] {
  const length = distanceOf(zone)
  if (fit === undefined || length === null) return null
  return {
    growth: {
      length,
      shaftExpansion: fit.shaft_expansion_per_k,
      frameExpansion: fit.frame_expansion_per_k,
      shaftWarming: fit.shaft_warming_k,
      frameWarming: fit.frame_warming_k,
    },
    ends: { clearance: fit.clearance_mm * MM, shared: fit.shared },
  }
}

/**
 * The same by input, as `geometryInputs` wants them: at a tension, N, with its own standard uncertainty where it brings
 * one, else the config's share of it. Inputs that the config does not name keep their defaults.
 */
export function givenAt(
  { geometry, uncertainties: u, uncertaintySources: sources }: ConfiguredGeometry,
  tension: number,
  ofTension?: GivenUncertainty,
): Uncertainties {
  const { mass } = geometry.roller
  const { basisWeight } = geometry.web
  const told = (key: keyof GeometryUncertainties, of = 1): GivenUncertainty => ({
    u: u[key] * of,
    source: sources[key],
  })
  const rollers = (['before', 'measuring', 'after'] as const).flatMap((which) => [
    [`${which}.x`, told('position')],
    [`${which}.y`, told('position')],
    [`${which}.radius`, told('radius')],
  ])
  const arrows = entriesOf(geometry.cells).map(([side]) => [`arrow.${side}`, told('arrow')])
  return {
    ...Object.fromEntries([...rollers, ...arrows]),
    mass: told('mass', mass),
    basisWeight: told('basisWeight', basisWeight),
    tension: ofTension ?? told('tension', Math.abs(tension)),
    lineOfPull: told('lineOfPull'),
  }
}

/** Which key of the config tells each, and what one of its unit is in SI. */
const UNCERTAINTY_KEYS = {
  position: ['position_mm', MM],
  radius: ['diameter_mm', MM / 2],
  arrow: ['arrow_deg', radians(1)],
  mass: ['mass_percent', 0.01],
  basisWeight: ['basis_weight_percent', 0.01],
  tension: ['tension_percent', 0.01],
  lineOfPull: ['line_of_pull_mm', MM],
} as const satisfies Record<keyof GeometryUncertainties, readonly [DrawingUncertainty, number]>

function uncertaintiesOf({
  uncertainty,
}: GeometryConfig): Pick<ConfiguredGeometry, 'uncertainties' | 'uncertaintySources'> {
  const of = <T>(pick: (told: ReturnType<typeof drawingUncertainty>, si: number) => T) =>
    Object.fromEntries(
      Object.entries(UNCERTAINTY_KEYS).map(([name, [key, si]]) => [
        name,
        pick(drawingUncertainty(uncertainty, key), si),
      ]),
    ) as Record<keyof GeometryUncertainties, T>
  return { uncertainties: of(({ value }, si) => value * si), uncertaintySources: of(({ source }) => source) }
}
