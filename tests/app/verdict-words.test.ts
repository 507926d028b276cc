import { describe, expect, it } from 'vitest'
import { placeOn, rulerScale } from '../../app/_ui/ruler-scale.ts'
import { unitsOf } from '../../app/_ui/units.tsx'
import { limitInWords, verdictSentence } from '../../app/_ui/verdict-words.ts'
import type { Figure, VerdictReason } from '../../shared/schemas/now.ts'
import { SI_CHOICE } from '../../shared/unit-choice.ts'

const units = unitsOf(SI_CHOICE)

function figure(reason: VerdictReason, part: Partial<Figure> = {}): Figure {
  return {
    value: 3.04,
    unit: '%',
    u: 0.6,
    uRandom: 0.1,
    U: 1.2,
    k: 2,
    dof: null,
    limit: { target: 0, half: 10, source: 'test' },
    verdict: { state: 'inside', reason, sentence: '' },
    window: null,
    timeMs: 0,
    waiting: null,
    why: { formula: '', source: '', inputs: [] },
    ...part,
  }
}
const say = (f: Figure, isOneSided = false) => verdictSentence(f, units, isOneSided).replaceAll('\u00a0', ' ')

describe('verdict in words', () => {
  it('names value, uncertainty and limit', () => {
    expect(say(figure({ kind: 'inside' }))).toBe('3.0 ± 1.2 % lies wholly within ±10 %.')
    expect(say(figure({ kind: 'outside' }))).toBe('3.0 ± 1.2 % lies wholly beyond ±10 %.')
    expect(say(figure({ kind: 'inside' }), true)).toBe('3.0 ± 1.2 % lies wholly under 10 %.')
    expect(say(figure({ kind: 'outside' }), true)).toBe('3.0 ± 1.2 % lies wholly above 10 %.')
  })

  it('says how long an undecided figure needs, or that no time will do and what is the largest part', () => {
    expect(say(figure({ kind: 'needs-time', seconds: 40 }))).toContain('needs about 40 s more')
    const never = say(figure({ kind: 'no-time-will-settle', input: 'gain of the drive side' }))
    expect(never).toContain('no measuring time will settle this')
    expect(never).toContain('gain of the drive side')
  })

  it('shows the gateway’s own words for what it waits for', () => {
    const waiting = 'Speed has changed by 3 % in the last 30 s.'
    const none = { value: null, U: null, waiting }
    expect(say(figure({ kind: 'waiting', for: 'a steady zone' }, none))).toBe(waiting)
    expect(say(figure({ kind: 'no-data' }, none))).toBe(waiting)
    expect(say(figure({ kind: 'waiting', for: 'a steady zone' }, { value: null, U: null }))).toBe('A steady zone.')
  })

  it('tells a limit around another target, in the reader’s units', () => {
    const f = figure({ kind: 'inside' }, { unit: 'm', limit: { target: 0.0254, half: 0.0508, source: 'test' } })
    const words = limitInWords(f, unitsOf({ ...SI_CHOICE, length: 'in' }), false)
    expect(words?.replaceAll('\u00a0', ' ')).toBe('1 in ± 2 in')
  })
})

describe('ruler', () => {
  it('gives the inside the middle half, or the first half of a figure that cannot be negative', () => {
    const two = rulerScale({ target: 2, half: 10, source: '' }, false)
    expect(two.marks.map((m) => placeOn(two, m).share)).toEqual([0.25, 0.75])
    const one = rulerScale({ target: 0, half: 1, source: '' }, true)
    expect(one.marks.map((m) => placeOn(one, m).share)).toEqual([0.5])
    expect(placeOn(one, 0).share).toBe(0)
  })

  it('keeps a value on the ruler and says when its true place is beyond the end', () => {
    const scale = rulerScale({ target: 0, half: 10, source: '' }, false)
    expect(placeOn(scale, 44)).toEqual({ share: 1, isBeyond: true })
    expect(placeOn(scale, -44)).toEqual({ share: 0, isBeyond: true })
    expect(placeOn(scale, 20)).toEqual({ share: 1, isBeyond: false })
  })
})
