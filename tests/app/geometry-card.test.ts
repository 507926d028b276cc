import { describe, expect, it } from 'vitest'
import { endPicture, endsOf } from '../../app/geometry/_card/end-picture.ts'
import { radians, vector } from '../../lib/geometry/vector.ts'
import { wrapOf } from '../../lib/geometry/wrap.ts'

const roller = (name: string, x: number, y: number, turn: 1 | -1) => ({
  name,
  centre: vector(x, y),
  radius: 0.05,
  turn,
})
/** Over the middle roller: the web climbs to it and falls steeply, so that the pull leans upstream. */
const wrap = wrapOf(roller('before', -0.6, -0.3, 1), roller('measuring', 0, 0, -1), roller('after', 0.3, -0.6, 1))
// 20° from straight down, leaning upstream: −90° − 20°.
const ARROW = radians(-110)
const picture = (end: 'drive_side' | 'operator_side', runs: 'left to right' | 'right to left') =>
  endPicture(end, ARROW, wrap, 0.05, vector(0, 0), runs)

/**
 * By hand. Facing the operator-side end of a line that runs left to right, downstream is at the right hand, so an arrow
 * that leans upstream leans to the left. Whoever walks round the machine to face the drive-side end sees it the other
 * way round; and so does everybody where the line runs right to left.
 */
const CASES = [
  ['operator_side', 'left to right', 'right', 'left'],
  ['drive_side', 'left to right', 'left', 'right'],
  ['operator_side', 'right to left', 'left', 'right'],
  ['drive_side', 'right to left', 'right', 'left'],
] as const

describe('the set-up card’s pictures of the ends', () => {
  for (const [end, runs, downstream, leans] of CASES) {
    it(`facing the ${end.replace('_', ' ')} of a line that runs ${runs}: web to the ${downstream}, the upstream arrow to the ${leans}, pointing down`, () => {
      const seen = picture(end, runs)
      expect(seen.downstream).toBe(downstream)
      expect(seen.arrow.x < 0 ? 'left' : 'right').toBe(leans)
      expect(Math.abs(seen.arrow.x)).toBeCloseTo(Math.sin(radians(20)), 12)
      expect(seen.arrow.y).toBeCloseTo(-Math.cos(radians(20)), 12)
    })
  }

  it('the words are the same at both ends, either way the line runs', () => {
    const words = CASES.map(([end, runs]) => picture(end, runs).words)
    expect(new Set(words)).toEqual(new Set(['20.0° from vertical, pointing down, leaning upstream']))
  })

  it('the web arrives from upstream and leaves downstream in every picture', () => {
    for (const [end, runs, downstream] of CASES) {
      const { web } = picture(end, runs)
      const sign = downstream === 'right' ? 1 : -1
      for (const { from, to } of web) expect(sign * (to.x - from.x)).toBeGreaterThan(0)
    }
  })

  it('the web touches the roller’s rim where it arrives and where it leaves', () => {
    for (const [end, runs] of CASES) {
      const [arriving, leaving] = picture(end, runs).web
      expect(Math.hypot(arriving?.to.x ?? 0, arriving?.to.y ?? 0)).toBeCloseTo(1, 12)
      expect(Math.hypot(leaving?.from.x ?? 0, leaving?.from.y ?? 0)).toBeCloseTo(1, 12)
    }
  })

  it('a cantilever has one picture, from its free end', () => {
    expect(endsOf(['single'])).toEqual(['operator_side'])
    expect(endsOf(['drive_side', 'operator_side'])).toHaveLength(2)
  })
})
