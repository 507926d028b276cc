import { degrees, signedAngle } from '../../../lib/geometry/vector.ts'
import { type Drawing, type DrawnRoller, type RollerPlace, rollerAt } from './rollers.ts'

export type Side = 'drive_side' | 'operator_side' | 'single'

/** Most rollers on one side of the measuring roller; the config takes no more. */
export const MOST_ROLLERS = 8
/** Steps of dragging and of the arrow keys. */
export const STEP_MM = 1
export const LONG_STEP_MM = 10
export const STEP_DEG = 0.1
export const LONG_STEP_DEG = 1

const rounded = (value: number, step: number): number => Number((Math.round(value / step) * step).toFixed(6))

/** A drawing with some of one roller's figures changed; the same drawing when there is no such roller. */
export function withRoller(drawing: Drawing, place: RollerPlace, change: Partial<DrawnRoller>): Drawing {
  const roller = rollerAt(drawing, place)
  if (roller === undefined) return drawing
  const next = { ...roller, ...change }
  const { rollers } = drawing
  if (place.group === 'measuring') return { ...drawing, rollers: { ...rollers, measuring: next } }
  return { ...drawing, rollers: { ...rollers, [place.group]: rollers[place.group].with(place.index, next) } }
}

/** A roller's centre put to a place, on whole millimetres: nobody drags finer than that. */
export function movedTo(drawing: Drawing, place: RollerPlace, x_mm: number, y_mm: number): Drawing {
  return withRoller(drawing, place, { x_mm: rounded(x_mm, STEP_MM), y_mm: rounded(y_mm, STEP_MM) })
}

/** A roller's centre moved by so many millimetres, from where it is: typed fractions stay. */
export function movedBy(drawing: Drawing, place: RollerPlace, dx: number, dy: number): Drawing {
  const roller = rollerAt(drawing, place)
  if (roller === undefined) return drawing
  return withRoller(drawing, place, { x_mm: rounded(roller.x_mm + dx, 1e-3), y_mm: rounded(roller.y_mm + dy, 1e-3) })
}

/** The web passed on the roller's other side: it then turns the other way. */
export function passedOnOtherSide(drawing: Drawing, place: RollerPlace): Drawing {
  const turn = rollerAt(drawing, place)?.turn === 'clockwise' ? 'counter-clockwise' : 'clockwise'
  return withRoller(drawing, place, { turn })
}

/** One more roller at the far end of the path, as far from the last as the last is from the one before it. */
export function withRollerAdded(drawing: Drawing, group: 'before' | 'after'): Drawing {
  const { rollers } = drawing
  const list = rollers[group]
  const last = group === 'before' ? list[0] : list.at(-1)
  const inner = (group === 'before' ? list[1] : list.at(-2)) ?? rollers.measuring
  if (last === undefined || list.length >= MOST_ROLLERS) return drawing
  const added: DrawnRoller = {
    ...last,
    name: freeName(drawing, group),
    x_mm: rounded(2 * last.x_mm - inner.x_mm, STEP_MM),
    y_mm: rounded(last.y_mm + (last.turn === inner.turn ? 0 : inner.y_mm - last.y_mm), STEP_MM),
    turn: last.turn === 'clockwise' ? 'counter-clockwise' : 'clockwise',
  }
  return { ...drawing, rollers: { ...rollers, [group]: group === 'before' ? [added, ...list] : [...list, added] } }
}

function freeName({ rollers }: Drawing, group: 'before' | 'after'): string {
  const taken = new Set([...rollers.before, rollers.measuring, ...rollers.after].map(({ name }) => name))
  for (let n = rollers[group].length + 1; ; n += 1) {
    const name = `idler ${n} ${group}`
    if (!taken.has(name)) return name
  }
}

/** A roller taken out; each side keeps one, because the web must come from and go to somewhere. */
export function withoutRoller(drawing: Drawing, { group, index }: RollerPlace): Drawing {
  if (group === 'measuring' || drawing.rollers[group].length < 2) return drawing
  return { ...drawing, rollers: { ...drawing.rollers, [group]: drawing.rollers[group].toSpliced(index, 1) } }
}

/** An arrow set to an angle in degrees counter-clockwise from downstream, brought into (−180, 180]. */
export function withArrow(drawing: Drawing, side: Side, angleDeg: number): Drawing {
  const turned = rounded(degrees(signedAngle((angleDeg * Math.PI) / 180)), 1e-4)
  const { arrows_deg: arrows } = drawing
  if ('single' in arrows) return { ...drawing, arrows_deg: { single: turned } }
  return side === 'single' ? drawing : { ...drawing, arrows_deg: { ...arrows, [side]: turned } }
}

export function arrowOf({ arrows_deg: arrows }: Drawing, side: Side): number {
  const value = (arrows as Partial<Record<Side, number>>)[side]
  return value ?? Number.NaN
}

/** The angle of a dragged arrow's tip, degrees in steps of a tenth. */
export function draggedAngle(centre: { x: number; y: number }, tip: { x: number; y: number }): number {
  return rounded(degrees(Math.atan2(tip.y - centre.y, tip.x - centre.x)), STEP_DEG)
}

/** Which way an arrow key moves in the model: the screen may show it from the other end. */
export function keyDirection(key: string, isMirrored: boolean): { readonly x: number; readonly y: number } | null {
  const right = isMirrored ? -1 : 1
  switch (key) {
    case 'ArrowRight':
      return { x: right, y: 0 }
    case 'ArrowLeft':
      return { x: -right, y: 0 }
    case 'ArrowUp':
      return { x: 0, y: 1 }
    case 'ArrowDown':
      return { x: 0, y: -1 }
    default:
      return null
  }
}
