import { describe, expect, it } from 'vitest'
import type { WebPath } from '../../lib/geometry/description.ts'
import { pathCandidates, type RatioQuestion, wrapChanges } from '../../lib/geometry/path-candidates.ts'
import type { Roller } from '../../lib/geometry/tangent.ts'
import { radians } from '../../lib/geometry/vector.ts'
import { wrapOf } from '../../lib/geometry/wrap.ts'
import { contactArc } from '../../simulator/physics/layout.ts'

const roller = (name: string, x: number, y: number, turn: 1 | -1): Roller => ({
  name,
  centre: { x, y },
  radius: 0.06,
  turn,
})
const path: WebPath = {
  before: [roller('infeed', -1.5, -0.6, -1), roller('guide', -0.6, -0.3, 1)],
  measuring: roller('measuring', 0, 0, -1),
  after: [roller('chill', 0.5, -0.6, 1), roller('pull', 1.4, -0.2, -1)],
}
const [guide, chill] = [path.before[1] as Roller, path.after[0] as Roller]
const arrow = wrapOf(guide, path.measuring, chill).bisector
const question = (ratio: number, u = 0.01): RatioQuestion => ({
  path,
  arrows: { drive_side: arrow, operator_side: arrow },
  measured: { drive_side: { ratio, u }, operator_side: { ratio, u } },
})

/** The ratio that another path makes, by the simulator's thread instead of tangents. */
function ratioOf(before: Roller, after: Roller): number {
  const pull = (a: Roller, b: Roller) => {
    const drawn = (r: Roller) => ({ ...r, turns: r.turn === 1 ? ('ccw' as const) : ('cw' as const) })
    const arc = contactArc(drawn(a), drawn(path.measuring), drawn(b))
    const sense = path.measuring.turn
    const middle = arc.entryAngle + (sense * arc.wrap) / 2 + Math.PI
    return 2 * Math.sin(arc.wrap / 2) * Math.cos(arrow - middle)
  }
  return pull(before, after) / pull(guide, chill)
}
const flip = (r: Roller): Roller => ({ ...r, turn: r.turn === 1 ? -1 : 1 })

describe('which other web path would explain a ratio', () => {
  it.each<[string, number]>([
    ['guide passed on the other side', ratioOf(flip(guide), chill)],
    ['chill passed on the other side', ratioOf(guide, flip(chill))],
    ['guide left out', ratioOf(path.before[0] as Roller, chill)],
    ['chill left out', ratioOf(guide, path.after[1] as Roller)],
    ['guide passed on the other side and chill left out', ratioOf(flip(guide), path.after[1] as Roller)],
  ])('%s comes first', (words, ratio) => {
    const [first] = pathCandidates(question(ratio, 0.001))
    expect(first).toMatchObject({ words, explains: true })
    expect(first?.ratio).toMatchObject({ drive_side: expect.closeTo(ratio, 9) })
    expect(first?.misfit).toBeLessThan(1e-4)
  })
  it('the path as drawn is among them, first when the ratio is 1', () => {
    expect(pathCandidates(question(1))[0]).toMatchObject({ words: 'as drawn', changes: [], explains: true })
  })
  it('fewer changes come before more where both explain', () => {
    const told = pathCandidates(question(1, 10))
    expect(told.every(({ explains }) => explains)).toBe(true)
    const counts = told.map(({ changes }) => changes.length)
    expect(counts).toEqual([...counts].sort())
  })
  it('paths that cannot be are no candidates; a ratio that none makes is explained by none', () => {
    const told = pathCandidates(question(3, 0.01))
    expect(told.length).toBeGreaterThan(2)
    expect(told.some(({ explains }) => explains)).toBe(false)
    const misfits = told.map(({ misfit }) => misfit)
    expect(misfits).toEqual([...misfits].sort((a, b) => a - b))
  })
  it('names are told for one known neighbour: it cannot be left out', () => {
    const short = { ...path, before: [guide], after: [chill] }
    const told = pathCandidates({ ...question(1), path: short })
    expect(told.every(({ words }) => !words.includes('left out'))).toBe(true)
  })
})

describe('which turn of one span alone would explain it', () => {
  it('turning the span by it makes the ratio', () => {
    const ratio = 0.93
    const { incoming, outgoing } = wrapChanges(question(ratio))
    const wrap = wrapOf(guide, path.measuring, chill)
    const { turn } = wrap
    // k' = a·(u_out' − u_in') with that span's angle moved.
    const k = (by: number, at: number) =>
      Math.cos(arrow - wrap.outgoing.angle - turn * at) - Math.cos(arrow - wrap.incoming.angle + turn * by)
    expect(k(incoming ?? Number.NaN, 0) / k(0, 0)).toBeCloseTo(ratio, 9)
    expect(k(0, outgoing ?? Number.NaN) / k(0, 0)).toBeCloseTo(ratio, 9)
    expect(incoming).toBeLessThan(0)
    expect(Math.abs(incoming ?? 0)).toBeLessThan(radians(30))
  })
  it('null where no turn of that span can', () => {
    expect(wrapChanges(question(5))).toEqual({ incoming: null, outgoing: null })
  })
})
