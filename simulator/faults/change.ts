/** What a fault does to one parameter of its zone, named by its path (`cells.drive_side.gain`). */
export type Change = {
  readonly path: string /** Is not asked when it is seen whether the fault is mended. */
  readonly beside?: true
} & (
  | { readonly kind: 'add'; readonly by: number }
  /** `by` is positive. */
  | { readonly kind: 'times'; readonly by: number }
  | { readonly kind: 'set'; readonly to: number | boolean | string }
  | { readonly kind: 'negate' }
)

export type ParameterValue = number | boolean | string

export const add = (path: string, by: number): Change => ({ path, kind: 'add', by })
export const times = (path: string, by: number): Change => ({ path, kind: 'times', by })
export const set = (path: string, to: ParameterValue): Change => ({ path, kind: 'set', to })
export const negate = (path: string): Change => ({ path, kind: 'negate' })
export const beside = (change: Change): Change => ({ ...change, beside: true })

/** From this level on, what is there or not is there. */
const THERE_FROM = 0.5

/** The parameter's value with `change` at a level: 0 not at all, 1 at full size. */
export function changed(value: ParameterValue, change: Change, level: number): ParameterValue {
  if (level === 0) return value
  switch (change.kind) {
    case 'add':
      return Number(value) + change.by * level
    case 'times':
      return Number(value) * change.by ** level
    case 'set':
      return level >= THERE_FROM ? change.to : value
    case 'negate':
      return level >= THERE_FROM ? -Number(value) : value
  }
}
