import type { Side } from '../../shared/sample.ts'
import type { Input, Shape } from '../uncertainty/uncertain.ts'
import { DEFAULT_UNCERTAINTIES, defaultUncertainty, type UncertaintyKind } from './default-uncertainties.ts'
import type { OperatingState, ZoneGeometry } from './description.ts'
import { type ForceInputs, forceInputs } from './forces.ts'
import { neighbourAt } from './neighbour.ts'
import { entriesOf, mapSides, SIDE_WORDS } from './sided.ts'

type Which = 'before' | 'measuring' | 'after'

/** Every input of the expected signals that may carry an uncertainty. */
export type InputKey =
  | `${Which}.${'x' | 'y' | 'radius'}`
  | `arrow.${Side}`
  | `sensitivity.${Side}`
  | 'neighbour'
  | 'cellDistance'
  | 'mass'
  | 'centreOfMass'
  | 'gravity'
  | 'width'
  | 'basisWeight'
  | 'tension'
  | 'tensionRise'
  | 'speed'
  | 'lineOfPull'
  | 'webOffset'

/** A standard uncertainty that a site gives, in the input's SI unit, instead of the default. */
export interface GivenUncertainty {
  readonly u: number
  readonly dof?: number
  readonly shape?: Shape
  readonly source?: string
}
export type Uncertainties = Readonly<Partial<Record<InputKey, GivenUncertainty>>>

/** What the inputs make: the numbers behind the forces, and each cell's true over stated sensitivity (1 as estimated). */
export interface Varied {
  readonly forces: ForceInputs
  readonly sensitivity: Readonly<Partial<Record<Side, number>>>
}

/** One input, and what the computation looks like with it at another value. */
export interface GeometryInput extends Input {
  readonly key: InputKey
  readonly put: (varied: Varied, value: number) => Varied
}

const PLAIN = {
  mass: 'kg',
  gravity: 'm/s²',
  width: 'm',
  basisWeight: 'kg/m²',
  tension: 'N',
  tensionRise: 'N',
  speed: 'm/s',
} as const
const ACROSS = { cellDistance: 'm', centreOfMass: 'm', lineOfPull: 'm', webOffset: 'm' } as const

const NAMES = {
  cellDistance: 'distance between the cells',
  mass: 'mass on the cells',
  centreOfMass: 'roller’s centre of mass',
  gravity: 'local g',
  width: 'web width',
  basisWeight: 'basis weight',
  tension: 'tension',
  tensionRise: 'tension out − in',
  speed: 'speed',
  lineOfPull: 'line of pull',
  webOffset: 'web’s centre',
} as const

/**
 * The inputs of a zone's expected signals in a state, each with its standard uncertainty: the site's own where given,
 * else the default. What does not come in has none: lateral places with one cell, the radius of a winding roll beside
 * the value that tells it. A moving neighbour's coordinates stand for those of its axis or pivot.
 */
export function geometryInputs(
  geometry: ZoneGeometry,
  state: OperatingState,
  given: Uncertainties,
): { readonly start: Varied; readonly inputs: readonly GeometryInput[] } {
  const forces = forceInputs(geometry, state)
  const make = maker(given)
  const sides = entriesOf(geometry.cells)
  const numbers = { ...PLAIN, ...(forces.cellDistance === null ? {} : ACROSS) }
  const start: Varied = { forces, sensitivity: Object.fromEntries(sides.map(([side]) => [side, 1])) }
  return {
    start,
    inputs: [
      ...movingInput(geometry, state, make),
      ...(['before', 'measuring', 'after'] as const).flatMap((which) =>
        rollerInputs(which, geometry, state, forces, make),
      ),
      ...sides.map(([side, { arrow }]) =>
        make(`arrow.${side}`, 'angle', `arrow, ${SIDE_WORDS[side]}`, 'rad', arrow, (varied, value) =>
          withForces(varied, { arrows: mapSides(varied.forces.arrows, (was, s) => (s === side ? value : was)) }),
        ),
      ),
      ...(Object.keys(numbers) as (keyof typeof NAMES)[]).map((key) =>
        make(key, key, NAMES[key], { ...PLAIN, ...ACROSS }[key], forces[key] ?? 0, (varied, value) =>
          withForces(varied, { [key]: value }),
        ),
      ),
      ...sides.map(([side]) =>
        make(
          `sensitivity.${side}`,
          'sensitivity',
          `sensitivity of the cell, ${SIDE_WORDS[side]}`,
          '1',
          1,
          (varied, value) => ({
            ...varied,
            sensitivity: { ...varied.sensitivity, [side]: value },
          }),
        ),
      ),
    ],
  }
}

type Make = (
  key: InputKey,
  kind: UncertaintyKind,
  name: string,
  unit: string,
  value: number,
  put: GeometryInput['put'],
) => GeometryInput

function maker(given: Uncertainties): Make {
  return (key, kind, name, unit, value, put) => {
    const own = given[key]
    const { source } = DEFAULT_UNCERTAINTIES[kind]
    const uncertainty =
      own === undefined ? { u: defaultUncertainty(kind, value), source } : { source: 'given for this zone', ...own }
    return { key, name, unit, value, put, ...uncertainty }
  }
}

const withForces = (varied: Varied, change: Partial<ForceInputs>): Varied => ({
  ...varied,
  forces: { ...varied.forces, ...change },
})

function rollerInputs(
  which: Which,
  { moving }: ZoneGeometry,
  state: OperatingState,
  forces: ForceInputs,
  make: Make,
): GeometryInput[] {
  const { name, centre, radius } = forces[which]
  // Shifts, not places: so that a moving neighbour keeps what its own value makes of it.
  const shift = (key: 'x' | 'y', axis: string): GeometryInput =>
    make(`${which}.${key}`, 'position', `${name}, ${axis}`, 'm', centre[key], (varied, value) => {
      const roller = varied.forces[which]
      const moved = { ...roller.centre, [key]: roller.centre[key] + (value - centre[key]) }
      return withForces(varied, { [which]: { ...roller, centre: moved } })
    })
  const winds = moving?.kind === 'winding-roll' && moving.at === which && state.neighbour !== null
  return [
    shift('x', 'downstream'),
    shift('y', 'up'),
    ...(winds
      ? []
      : [
          make(`${which}.radius`, 'radius', `${name}, radius`, 'm', radius, (varied, value) =>
            withForces(varied, { [which]: { ...varied.forces[which], radius: value } }),
          ),
        ]),
  ]
}

function movingInput({ moving }: ZoneGeometry, { neighbour }: OperatingState, make: Make): GeometryInput[] {
  if (moving === null || neighbour === null) return []
  const [kind, words, unit] =
    moving.kind === 'winding-roll'
      ? (['windingRadius', 'radius of the winding roll', 'm'] as const)
      : (['armAngle', 'angle of the dancer’s arm', 'rad'] as const)
  return [
    make('neighbour', kind, words, unit, neighbour, (varied, value) =>
      withForces(varied, { [moving.at]: neighbourAt(varied.forces[moving.at], moving, value) }),
    ),
  ]
}
