import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import {
  type ArrowWords,
  arrowFromWords,
  arrowWords,
  type RunsSeenFromOperatorSide,
  seenFrom,
  turnToTarget,
} from '../../lib/geometry/arrow-words.ts'
import { radians, signedAngle, unitAt, type Vector } from '../../lib/geometry/vector.ts'

describe('an arrow in words', () => {
  it.each([
    [-90, 'vertical, pointing down'],
    [90, 'vertical, pointing up'],
    [0, 'level, pointing downstream'],
    [180, 'level, pointing upstream'],
    [-77.5, '12.5° from vertical, pointing down, leaning downstream'],
    [-102.5, '12.5° from vertical, pointing down, leaning upstream'],
    [45, '45.0° from vertical, pointing up, leaning downstream'],
    [135, '45.0° from vertical, pointing up, leaning upstream'],
  ])('%d° counter-clockwise from downstream: %s', (angle, words) => {
    expect(arrowWords(radians(angle)).sentence).toBe(words)
  })
  it('the words hold the whole angle: they lead back to it', () => {
    fc.assert(
      fc.property(fc.double({ min: -Math.PI, max: Math.PI, noNaN: true }), (arrow) => {
        const back = arrowFromWords(arrowWords(arrow))
        expect(Math.abs(signedAngle(back - arrow))).toBeLessThan(radians(0.051))
      }),
    )
  })
  it.each([
    [-80, -90, 'turn it 10.0°, its tip upstream'],
    [-100, -90, 'turn it 10.0°, its tip downstream'],
    [5, 0, 'turn it 5.0°, its tip downwards'],
    [179, -178, 'turn it 3.0°, its tip downwards'],
    [-90, -90, 'at its target'],
  ])('from %d° to a target of %d°: %s', (arrow, target, words) => {
    expect(turnToTarget(radians(arrow), radians(target)).words).toBe(words)
  })
})

/**
 * What a person facing one end reads off the picture in front of them, without the model: the web is seen to run to the
 * right or to the left, the arrow is seen to point somewhere. Upstream is where the web comes from.
 */
function readOffPicture(picture: Vector, webRuns: 'to the right' | 'to the left'): Omit<ArrowWords, 'sentence'> {
  const withTheWeb = webRuns === 'to the right' ? picture.x > 0 : picture.x < 0
  return {
    fromVertical: Math.atan2(Math.abs(picture.x), Math.abs(picture.y)),
    pointing: picture.y > 0 ? 'up' : 'down',
    leaning: withTheWeb ? 'downstream' : 'upstream',
  }
}

describe('the set-up card draws each end as seen by a person facing it', () => {
  const lines: readonly RunsSeenFromOperatorSide[] = ['left to right', 'right to left']
  const arrows = [-103, -77, -135, -20, 30, 140].map(radians)
  for (const runs of lines)
    for (const end of ['operator_side', 'drive_side'] as const)
      it(`${end.replace('_', ' ')} of a line that runs ${runs} seen from the operator side: the words do not mirror`, () => {
        const fromOperatorSide = runs === 'left to right' ? 'to the right' : 'to the left'
        const other = fromOperatorSide === 'to the right' ? 'to the left' : 'to the right'
        const webRuns = end === 'operator_side' ? fromOperatorSide : other
        for (const arrow of arrows) {
          const { sentence: _, ...words } = arrowWords(arrow)
          const read = readOffPicture(seenFrom(unitAt(arrow), end, runs), webRuns)
          expect(read).toEqual({ ...words, fromVertical: expect.closeTo(words.fromVertical, 12) })
        }
      })
  it('the two ends’ pictures mirror each other', () => {
    for (const runs of lines)
      for (const arrow of arrows) {
        const operator = seenFrom(unitAt(arrow), 'operator_side', runs)
        expect(seenFrom(unitAt(arrow), 'drive_side', runs)).toEqual({ x: -operator.x, y: operator.y })
      }
  })
  it('downstream is to the right of a person at the operator side exactly when the web runs left to right', () => {
    expect(seenFrom({ x: 1, y: 0 }, 'operator_side', 'left to right').x).toBe(1)
    expect(seenFrom({ x: 1, y: 0 }, 'operator_side', 'right to left').x).toBe(-1)
  })
})
