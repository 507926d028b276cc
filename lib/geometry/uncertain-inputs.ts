import type { Side } from '../../shared/sample.ts'
import type { Input, Shape } from '../uncertainty/uncertain.ts'
import { DEFAULT_UNCERTAINTIES, defaultUncertainty, type UncertaintyKind } from './default-uncertainties.ts'
import type { OperatingState, ZoneGeometry } from './description.ts'
import { type ForceInputs, forceInputs } from './forces.ts'
import { neighbourAt } from './neighbour.ts'
import { entriesOf, SIDE_WORDS } from './sided.ts'

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

type Mutable<T> = { -readonly [K in keyof T]: T[K] }

/**
 * The numbers behind the forces and each cell's true over stated sensitivity (1 as estimated), open to change: one
 * copy is made for every evaluation, and every input writes its value into it.
 */
export interface Draft {
  readonly forces: Mutable<ForceInputs>
  readonly sensitivity: Record<Side, number>
}

/** One input, and how it writes another value into a draft. */
export interface GeometryInput extends Input {
  readonly key: InputKey
  readonly put: (draft: Draft, value: number) => void
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
): { readonly draft: () => Draft; readonly inputs: readonly GeometryInput[] } {
  const forces = forceInputs(geometry, state)
  const make = maker(given)
  const sides = entriesOf(geometry.cells)
  const numbers = { ...PLAIN, ...(forces.cellDistance === null ? {} : ACROSS) }
  return {
    draft: () => ({ forces: { ...forces }, sensitivity: { drive_side: 1, operator_side: 1, single: 1 } }),
    inputs: [
      ...movingInput(geometry, state, make),
      ...(['before', 'measuring', 'after'] as const).flatMap((which) =>
        rollerInputs(which, geometry, state, forces, make),
      ),
      ...sides.map(([side, { arrow }]) =>
        make(`arrow.${side}`, 'angle', `arrow, ${SIDE_WORDS[side]}`, 'rad', arrow, ({ forces: f }, value) => {
          f.arrows = { ...f.arrows, [side]: value }
        }),
      ),
      ...(Object.keys(numbers) as (keyof typeof NAMES)[]).map((key) =>
        make(key, key, NAMES[key], { ...PLAIN, ...ACROSS }[key], forces[key] ?? 0, ({ forces: f }, value) => {
          f[key] = value
        }),
      ),
      ...sides.map(([side]) =>
        make(
          `sensitivity.${side}`,
          'sensitivity',
          `sensitivity of the cell, ${SIDE_WORDS[side]}`,
          '1',
          1,
          (draft, value) => {
            draft.sensitivity[side] = value
          },
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
    make(`${which}.${key}`, 'position', `${name}, ${axis}`, 'm', centre[key], ({ forces: f }, value) => {
      const roller = f[which]
      const [x, y] = [roller.centre.x, roller.centre.y]
      const by = value - centre[key]
      f[which] = { ...roller, centre: key === 'x' ? { x: x + by, y } : { x, y: y + by } }
    })
  const winds = moving?.kind === 'winding-roll' && moving.at === which && state.neighbour !== null
  return [
    shift('x', 'downstream'),
    shift('y', 'up'),
    ...(winds
      ? []
      : [
          make(`${which}.radius`, 'radius', `${name}, radius`, 'm', radius, ({ forces: f }, value) => {
            f[which] = { ...f[which], radius: value }
          }),
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
    make('neighbour', kind, words, unit, neighbour, ({ forces: f }, value) => {
      f[moving.at] = neighbourAt(f[moving.at], moving, value)
    }),
  ]
}
