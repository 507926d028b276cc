import type { Side } from '../../shared/sample.ts'
import type { SideScales } from './side-difference.ts'
import type { UncertaintyInput } from './systematic.ts'
import type { CellOptions, ZoneStatisticsOptions } from './zone-statistics-options.ts'

/** How web tension follows from one side's force at this moment: T_side = F/k + momentum. */
export interface SideScale {
  /** k: newtons along the arrow per newton of web tension. */
  readonly factor: number
  /** Standard uncertainty of k as a share of it, from this side's own arrow alone. */
  readonly arrowU: number
  readonly arrowSource: string
  /** Part of m·v² that this side carries, N. */
  readonly momentumN: number
}

/** The same for a zone, as its geometry tells it. */
export interface TensionScale {
  readonly sides: Readonly<Partial<Record<Side, SideScale>>>
  /** Standard uncertainty of every k as a share of it, from the web path: common to both sides. */
  readonly pathU: number
  /** Where the larger part of it came from. */
  readonly pathSource: string
  /** Standard uncertainty of m·v² as a share of it. */
  readonly momentumU: number
  readonly momentumSource: string
  /** Where the web runs: its centre from mid-span, towards the operator side, m. */
  readonly webOffsetM: number
}

/** The options with the force factors of this moment. */
export function withScale(options: ZoneStatisticsOptions, scale: TensionScale): ZoneStatisticsOptions {
  const cells = options.cells.map((cell): CellOptions => {
    const side = scale.sides[cell.side]
    return side === undefined
      ? cell
      : { ...cell, forceFactor: side.factor, ownFactorU: side.arrowU, ownFactorSource: side.arrowSource }
  })
  return { ...options, cells, commonForceFactor: false, scale }
}

/** m·v² of the whole web, or the part that some sides carry, N; 0 without geometry. */
export function momentumOf({ scale }: ZoneStatisticsOptions, sides: readonly CellOptions[]): number {
  return sides.reduce((sum, { side }) => sum + (scale?.sides[side]?.momentumN ?? 0), 0)
}

/** What web path and momentum do to a tension of which `factorN` newtons came through the force factors. */
export function geometryInputsOf(
  { scale }: ZoneStatisticsOptions,
  factorN: number,
  momentumN: number,
): UncertaintyInput[] {
  if (scale === undefined) return []
  const path: UncertaintyInput = {
    name: 'web path (wrap)',
    value: 100,
    unit: '%',
    u: 100 * scale.pathU,
    contribution: Math.abs(factorN) * scale.pathU,
    source: scale.pathSource,
  }
  if (momentumN === 0) return [path]
  const u = momentumN * scale.momentumU
  return [
    path,
    {
      name: 'momentum of the web m·v²',
      value: momentumN,
      unit: 'N',
      u,
      contribution: u,
      source: scale.momentumSource,
    },
  ]
}

/** Whether every cell has a force factor, so that forces can be told as web tension. */
export function tensionIsKnown(options: ZoneStatisticsOptions): boolean {
  return options.cells.every((cell) => cell.forceFactor !== null)
}

/** Newtons of web tension per newton along each arrow; 1 where a force factor is unknown, 0 for a side that is not there. */
export function perNewton(options: ZoneStatisticsOptions): SideScales {
  const [first, second] = ['single', 'operator_side'].map((side) => options.cells.find((cell) => cell.side === side))
  const drive = options.cells.find(({ side }) => side === 'drive_side') ?? first
  const isKnown = tensionIsKnown(options)
  const of = (cell: CellOptions | undefined) => (cell === undefined ? 0 : isKnown ? 1 / (cell.forceFactor ?? 1) : 1)
  return { drive: of(drive), operator: of(second) }
}
