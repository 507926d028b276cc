import { describe, expect, it } from 'vitest'
import { signalOf } from '../../app/geometry/_figures/signal-figure.ts'
import type { Held } from '../../app/geometry/_model/api.ts'
import { compute } from '../../app/geometry/_model/compute.ts'
import { differencesOf, isSame } from '../../app/geometry/_model/differences.ts'
import {
  type EditorState,
  editorReducer,
  isDirty,
  isInConflict,
  isStartingDrawing,
} from '../../app/geometry/_model/editor-state.ts'
import { movedBy, passedOnOtherSide } from '../../app/geometry/_model/edits.ts'
import { type Drawing, MEASURING } from '../../app/geometry/_model/rollers.ts'
import { startingDrawing } from '../../app/geometry/_model/starting-drawing.ts'
import type { ZoneFacts } from '../../shared/schemas/config-write.ts'

const cell = (channel: string) => ({
  channel,
  name: channel,
  capacityN: 500,
  electricalUnit: 'mA' as const,
  zero: 4.5,
  gainN: 31.25,
  uGainPercent: 0.5,
  uZeroPercent: 0.1,
  range: null,
  step: null,
})
const facts: ZoneFacts = {
  id: 'z',
  name: 'Z',
  cellDistanceM: 1.6,
  webWidthM: 1.2,
  webOffsetM: 0,
  forceFactor: null,
  cells: { drive_side: cell('ds'), operator_side: cell('os') },
}
const start = startingDrawing(facts)
const held = (geometry: Drawing | null, revision = 'aaaaaaaaaaaa'): Held => ({ geometry, revision, zone: facts })
const opened = (of: Held): EditorState => {
  const state = editorReducer(null, { type: 'held', held: of, draft: null })
  if (state === null) throw new Error('no state')
  return state
}
const moved = (state: EditorState): EditorState => {
  const next = editorReducer(state, { type: 'change', next: (d) => movedBy(d, MEASURING, 5, 0), gesture: null })
  if (next === null) throw new Error('no state')
  return next
}

describe('the drawing and what the file holds', () => {
  it('a zone without geometry starts from a drawing that is marked as not its own', () => {
    const state = opened(held(null))
    expect(isStartingDrawing(state)).toBe(true)
    expect(isDirty(state)).toBe(false)
    expect(isStartingDrawing(moved(state))).toBe(false)
    expect(isDirty(moved(state))).toBe(true)
  })

  it('the starting drawing can be computed, with its arrows along the pull and inside the cells', () => {
    const { figures, problems } = compute(start, facts, 0)
    expect(problems).toEqual([])
    expect(figures?.levels.normal.expected.warnings).toEqual([])
    expect(figures?.levels.normal.expected.sides).toMatchObject({ drive_side: { turn: 'at its target' } })
  })

  it('an unsaved drawing found in the browser is taken up again', () => {
    const drawing = movedBy(start, MEASURING, 3, 0)
    const draft = { drawing, base: start, baseRevision: 'aaaaaaaaaaaa', owner: '', changedMs: 0 }
    const state = editorReducer(null, { type: 'held', held: held(start), draft })
    expect(state).toMatchObject({ isFromDraft: true, history: { present: drawing } })
  })

  it('a file changed elsewhere than in this zone’s geometry is no conflict: the drawing goes on from the new revision', () => {
    const state = editorReducer(moved(opened(held(start))), {
      type: 'held',
      held: held(start, 'bbbbbbbbbbbb'),
      draft: null,
    })
    expect(state?.baseRevision).toBe('bbbbbbbbbbbb')
    expect(state !== null && isInConflict(state)).toBe(false)
  })

  it('a geometry changed by someone else keeps mine, shows both, and waits for a choice', () => {
    const mine = moved(opened(held(start)))
    const theirs = movedBy(start, MEASURING, 0, 9)
    const both = editorReducer(mine, { type: 'held', held: held(theirs, 'bbbbbbbbbbbb'), draft: null })
    if (both === null) throw new Error('no state')
    expect(isInConflict(both)).toBe(true)
    expect(both.history.present).toEqual(mine.history.present)
    expect(differencesOf(both.history.present, both.held.geometry)).toEqual([
      { key: 'rollers: measuring: x_mm', mine: '5', theirs: '0' },
      { key: 'rollers: measuring: y_mm', mine: '0', theirs: '9' },
    ])
    const kept = editorReducer(both, { type: 'keep-mine' })
    expect(kept).toMatchObject({ baseRevision: 'bbbbbbbbbbbb', history: { present: mine.history.present } })
    const taken = editorReducer(both, { type: 'take-theirs' })
    expect(taken?.history.present).toEqual(theirs)
    expect(editorReducer(taken, { type: 'undo' })?.history.present).toEqual(mine.history.present)
  })

  it('what was drawn while a save was under way is still unsaved after it', () => {
    const first = moved(opened(held(start)))
    const second = moved(first)
    const saved = editorReducer(second, { type: 'saved', drawing: first.history.present, revision: 'cccccccccccc' })
    expect(saved !== null && isDirty(saved)).toBe(true)
  })

  it('a default that is written out is no difference', () => {
    expect(isSame(start, { ...start, basis_weight_gsm: 0, mount: 'flange' })).toBe(true)
    expect(isSame(start, null)).toBe(false)
  })
})

describe('figures of a drawing', () => {
  it('a layout that cannot be has no figure, and says which rollers', () => {
    const onTop = movedBy(start, MEASURING, -480, -390)
    const { figures, problems } = compute(onTop, facts, 0)
    expect(figures).toBeNull()
    expect(problems.join(' ')).toMatch(/No web path from before to measuring: they overlap by [\d.]+ mm/)
  })

  it('a web passed on the wrong side is said in place', () => {
    const { figures, problems } = compute(passedOnOtherSide(start, MEASURING), facts, 0)
    expect(figures).toBeNull()
    expect(problems.join(' ')).toMatch(/measuring/)
  })

  it('without an output the signal is the channel’s own: zero + force ÷ gain', () => {
    const { figures } = compute(start, facts, 0)
    if (figures === null) throw new Error('no figures')
    const level = figures.levels.normal
    const side = 'drive_side' in level.expected.sides ? level.expected.sides.drive_side : null
    expect(signalOf(figures, level, 'drive_side')?.value).toBeCloseTo(4.5 + (side?.webForce ?? Number.NaN) / 31.25, 9)
  })
})
