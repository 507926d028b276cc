import type { GeometryConfigInput } from '../../../shared/schemas/geometry.ts'

/** A geometry as it stands in the config, before defaults: what this page edits and saves. */
export type Drawing = GeometryConfigInput
export type DrawnRoller = Drawing['rollers']['measuring']

/** Where a roller stands in the path. */
export interface RollerPlace {
  readonly group: 'before' | 'measuring' | 'after'
  readonly index: number
}

export const placeKey = ({ group, index }: RollerPlace): string => `${group}-${index}`
export const MEASURING: RollerPlace = { group: 'measuring', index: 0 }

/** All rollers in the web's order, with their places. */
export function rollersOf({
  rollers,
}: Drawing): readonly { readonly place: RollerPlace; readonly roller: DrawnRoller }[] {
  const listed = (group: 'before' | 'after') =>
    rollers[group].map((roller, index) => ({ place: { group, index }, roller }))
  return [...listed('before'), { place: MEASURING, roller: rollers.measuring }, ...listed('after')]
}

export function rollerAt({ rollers }: Drawing, { group, index }: RollerPlace): DrawnRoller | undefined {
  return group === 'measuring' ? rollers.measuring : rollers[group][index]
}

/** The neighbours of the measuring roller: the last before it, the first after it. */
export function isNeighbour({ rollers }: Drawing, { group, index }: RollerPlace): boolean {
  return (group === 'before' && index === rollers.before.length - 1) || (group === 'after' && index === 0)
}
