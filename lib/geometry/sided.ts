import type { Side } from '../../shared/sample.ts'

/** Something of each cell: of both ends of the roller, or of the one cell of a cantilever. */
export type Sided<T> = { readonly drive_side: T; readonly operator_side: T } | { readonly single: T }

export function mapSides<T, U>(sided: Sided<T>, of: (value: T, side: Side) => U): Sided<U> {
  if ('single' in sided) return { single: of(sided.single, 'single') }
  return {
    drive_side: of(sided.drive_side, 'drive_side'),
    operator_side: of(sided.operator_side, 'operator_side'),
  }
}

/** The sides that exist, drive side first. */
export function entriesOf<T>(sided: Sided<T>): readonly (readonly [Side, T])[] {
  if ('single' in sided) return [['single', sided.single]]
  return [
    ['drive_side', sided.drive_side],
    ['operator_side', sided.operator_side],
  ]
}

/** What belongs to a side. Throws RangeError for a side that is not there. */
export function ofSide<T>(sided: Sided<T>, side: Side): T {
  const found = entriesOf(sided).find(([name]) => name === side)
  if (found === undefined) throw new RangeError(`there is no cell on the ${side.replace('_', ' ')}`)
  return found[1]
}

export const sumOf = (sided: Sided<number>): number => entriesOf(sided).reduce((sum, [, value]) => sum + value, 0)

export const SIDE_WORDS = {
  drive_side: 'drive side',
  operator_side: 'operator side',
  single: 'one cell',
} as const satisfies Record<Side, string>
