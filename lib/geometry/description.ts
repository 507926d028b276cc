import type { LoadRange } from './capacity.ts'
import type { MountKind, RollerKind } from './mounting.ts'
import { type MovingNeighbour, neighbourAt } from './neighbour.ts'
import type { EndFit, GrowthInputs } from './shaft-growth.ts'
import type { Sided } from './sided.ts'
import type { SignalChain } from './signal.ts'
import type { Roller } from './tangent.ts'

/** Everything about a zone that stands still, in SI; angles in rad counter-clockwise from +x (downstream), y up. */
export interface ZoneGeometry {
  readonly path: WebPath
  /** A neighbour of the measuring roller that moves; null when both stand still. */
  readonly moving: MovingNeighbour | null
  readonly roller: {
    readonly kind: RollerKind
    /** Mass on the cells, kg (see ROLLER_KINDS), and its centre from mid-span towards the operator side, m. */
    readonly mass: number
    readonly centreOfMass: number
    /** Coefficient of friction, web on roller; null when not known. */
    readonly friction: number | null
  }
  readonly mount: MountKind
  readonly cells: Sided<Cell>
  /** Between the two cells, m; null for a cantilever. */
  readonly cellDistance: number | null
  /** Width, m, and basis weight, kg/m². */
  readonly web: { readonly width: number; readonly basisWeight: number }
  /** m/s² */
  readonly gravity: number
  readonly target: Target
  readonly load: LoadRange
  /** Growth of the shaft and the clearance at its ends; null when not asked. */
  readonly fit: { readonly growth: GrowthInputs; readonly ends: EndFit } | null
  /** Roughness of both faces, m, and viscosity of the air, Pa·s; null when not asked. */
  readonly air: { readonly webRoughness: number; readonly rollerRoughness: number; readonly viscosity: number } | null
}

/** The rollers in the web's order; the last of `before` and the first of `after` are the measuring roller's neighbours. */
export interface WebPath {
  readonly before: readonly Roller[]
  readonly measuring: Roller
  readonly after: readonly Roller[]
}

/** One load cell: its real arrow, its rated capacity, N, and what its output makes of force. */
export interface Cell {
  readonly arrow: number
  readonly capacity: number
  readonly chain: SignalChain
}

/** What the arrows are set to: the bisector as it is, the bisector at a chosen place of the moving neighbour, or the axis of a mount that cannot turn. */
export type Target =
  | { readonly kind: 'bisector' }
  | { readonly kind: 'bisector-at'; readonly neighbour: number }
  | { readonly kind: 'mount-axis'; readonly angle: number }

/** What the zone is doing. */
export interface OperatingState {
  /** Mean of arriving and leaving span, N. */
  readonly tension: number
  /** T_out − T_in, N: bearing drag and change of speed. */
  readonly tensionRise: number
  /** m/s */
  readonly speed: number
  /** Where the tension acts and where the web's centre runs, from mid-span towards the operator side, m. */
  readonly lineOfPull: number
  readonly webOffset: number
  /** Radius or angle of the moving neighbour; null for as drawn. */
  readonly neighbour: number | null
}

/** The measuring roller between its neighbours, as they are now. */
export interface Trio {
  readonly before: Roller
  readonly measuring: Roller
  readonly after: Roller
}

/**
 * The three rollers with the moving neighbour where `value` puts it (null: as drawn).
 * Throws RangeError for a path without a roller on each side.
 */
export function trioOf({ path, moving }: Pick<ZoneGeometry, 'path' | 'moving'>, value: number | null): Trio {
  const [before, after] = [path.before.at(-1), path.after[0]]
  if (before === undefined || after === undefined)
    throw new RangeError('the web path needs a roller before and a roller after the measuring roller')
  const placed = (at: 'before' | 'after', drawn: Roller): Roller =>
    moving === null || value === null || moving.at !== at ? drawn : neighbourAt(drawn, moving, value)
  return { before: placed('before', before), measuring: path.measuring, after: placed('after', after) }
}
