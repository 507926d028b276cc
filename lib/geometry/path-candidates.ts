import type { WebPath } from './description.ts'
import { forceFactor } from './force-factor.ts'
import { ImpossiblePath } from './path-fault.ts'
import { entriesOf, mapSides, ofSide, type Sided } from './sided.ts'
import type { Roller } from './tangent.ts'
import { angleOf, dot, signedAngle, unitAt } from './vector.ts'
import { type Wrap, wrapOf } from './wrap.ts'

/** One way in which the web may really run other than drawn. */
export type PathChange =
  | { readonly kind: 'other-side'; readonly roller: string }
  | { readonly kind: 'left-out'; readonly roller: string }

export interface PathCandidate {
  /** One change or two; none for the path as drawn. */
  readonly changes: readonly PathChange[]
  readonly words: string
  /** rad */
  readonly wrap: number
  /** Measured over expected that this path would make, by side: its force factor over the drawn one's. */
  readonly ratio: Sided<number>
  /** Largest |measured − predicted| over its standard uncertainty, over the sides. */
  readonly misfit: number
  /** misfit ≤ 2: the measurement does not speak against it. */
  readonly explains: boolean
}

/** The turn of one span alone that would make the ratio, rad, as change of wrap; null where none can. */
export interface WrapChanges {
  readonly incoming: number | null
  readonly outgoing: number | null
}

export interface RatioQuestion {
  /** The path as drawn, with as many rollers on either side as are known: one that is left out needs the next one. */
  readonly path: WebPath
  readonly arrows: Sided<number>
  /** Measured over expected force of the web (bare roller taken off) along each arrow, and its standard uncertainty. */
  readonly measured: Sided<{ readonly ratio: number; readonly u: number }>
}

/**
 * Which other web path would explain a ratio of measured to expected force: every neighbour and the measuring roller
 * passed on the other side, a neighbour left out, and two such changes at once, wherever the web could run so; ranked
 * with what explains first, then fewer changes, then the smaller misfit. The path as drawn is among them. The momentum cancels:
 * F'/F = a·pull'/a·pull. Throws ImpossiblePath when the drawn path cannot be.
 */
export function pathCandidates(question: RatioQuestion): PathCandidate[] {
  const { path, arrows } = question
  const drawn = wrapAlong(path)
  const singles = changesOf(path)
  const pairs = singles.flatMap((a, i) =>
    singles.slice(i + 1).flatMap((b) => (a.roller === b.roller ? [] : [[a, b] as const])),
  )
  const sets: readonly (readonly PathChange[])[] = [[], ...singles.map((change) => [change]), ...pairs]
  return sets
    .flatMap((changes): PathCandidate[] => {
      const wrap = wrapIfPossible(changes.reduce(changed, path))
      if (wrap === undefined) return []
      const ratio = mapSides(arrows, (arrow) => forceFactor(arrow, wrap) / forceFactor(arrow, drawn))
      const misfit = misfitOf(ratio, question.measured)
      return [{ changes, words: wordsOf(changes), wrap: wrap.angle, ratio, misfit, explains: misfit <= 2 }]
    })
    .sort(
      (a, b) =>
        Number(b.explains) - Number(a.explains) ||
        (a.explains ? a.changes.length - b.changes.length : 0) ||
        a.misfit - b.misfit,
    )
}

/**
 * By how much one span alone would have to turn, the arrow standing still, for the mean of the sides' ratios: a roller
 * in another place than drawn. Closed form: a·u_in or a·u_out must take the value that is left.
 */
export function wrapChanges({ path, arrows, measured }: RatioQuestion): WrapChanges {
  const wrap = wrapAlong(path)
  const sides = entriesOf(arrows)
  // The mean arrow: with both alike, their own.
  const axis = sides.reduce((sum, [, arrow]) => ({ x: sum.x + Math.cos(arrow), y: sum.y + Math.sin(arrow) }), {
    x: 0,
    y: 0,
  })
  const arrow = angleOf(axis)
  const ratio = entriesOf(measured).reduce((sum, [, m]) => sum + m.ratio, 0) / sides.length
  const wanted = ratio * forceFactor(arrow, wrap)
  const { incoming, outgoing, turn } = wrap
  const alongOut = wanted + dot(unitAt(arrow), incoming.direction)
  const alongIn = dot(unitAt(arrow), outgoing.direction) - wanted
  const turnTo = (angle: number, along: number): number | null => {
    if (Math.abs(along) > 1) return null
    const both = [arrow + Math.acos(along), arrow - Math.acos(along)].map((to) => signedAngle(to - angle))
    return both.reduce((least, one) => (Math.abs(one) < Math.abs(least) ? one : least))
  }
  const [byIn, byOut] = [turnTo(incoming.angle, alongIn), turnTo(outgoing.angle, alongOut)]
  return { incoming: byIn === null ? null : -turn * byIn, outgoing: byOut === null ? null : turn * byOut }
}

/** Wrap of the measuring roller with the neighbours it has on this path. Throws ImpossiblePath. */
function wrapAlong({ before, measuring, after }: WebPath): Wrap {
  const [previous, next] = [before.at(-1), after[0]]
  if (previous === undefined || next === undefined)
    throw new RangeError('the web path needs a roller before and a roller after the measuring roller')
  return wrapOf(previous, measuring, next)
}

function wrapIfPossible(path: WebPath): Wrap | undefined {
  try {
    return path.before.length === 0 || path.after.length === 0 ? undefined : wrapAlong(path)
  } catch (error) {
    if (error instanceof ImpossiblePath) return undefined
    throw error
  }
}

function changesOf({ before, measuring, after }: WebPath): PathChange[] {
  const near = [before.at(-1), after[0]].filter((roller) => roller !== undefined)
  return [
    ...near.map(({ name }): PathChange => ({ kind: 'other-side', roller: name })),
    { kind: 'other-side', roller: measuring.name },
    ...near.map(({ name }): PathChange => ({ kind: 'left-out', roller: name })),
  ]
}

function changed(path: WebPath, { kind, roller: name }: PathChange): WebPath {
  const all = (rollers: readonly Roller[]): readonly Roller[] =>
    kind === 'left-out' ? rollers.filter((roller) => roller.name !== name) : rollers.map(flipped)
  const flipped = (roller: Roller): Roller =>
    roller.name === name ? { ...roller, turn: roller.turn === 1 ? -1 : 1 } : roller
  return {
    before: all(path.before),
    measuring: kind === 'other-side' ? flipped(path.measuring) : path.measuring,
    after: all(path.after),
  }
}

function misfitOf(predicted: Sided<number>, measured: RatioQuestion['measured']): number {
  return Math.max(
    ...entriesOf(measured).map(([side, { ratio, u }]) => {
      const difference = Math.abs(ratio - ofSide(predicted, side))
      return difference === 0 ? 0 : difference / u
    }),
  )
}

function wordsOf(changes: readonly PathChange[]): string {
  if (changes.length === 0) return 'as drawn'
  return changes
    .map(({ kind, roller }) => (kind === 'other-side' ? `${roller} passed on the other side` : `${roller} left out`))
    .join(' and ')
}
