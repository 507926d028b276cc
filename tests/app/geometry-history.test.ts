import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { changed, type History, redone, settled, startHistory, undone } from '../../app/geometry/_model/history.ts'

const steps = fc.array(fc.record({ to: fc.integer(), gesture: fc.constantFrom(null, 'drag', 'type') }), {
  maxLength: 60,
})
const after = (list: readonly { to: number; gesture: string | null }[]): History<number> =>
  list.reduce((history, { to, gesture }) => changed(history, to, gesture), startHistory(0))

describe('undo and redo of the drawing', () => {
  it('one drag is one step, whatever it passes through', () => {
    const dragged = [1, 2, 3].reduce((history, to) => changed(history, to, 'drag'), startHistory(0))
    expect(undone(dragged).present).toBe(0)
    expect(redone(undone(dragged)).present).toBe(3)
  })

  it('two drags of the same thing are two steps when the first has ended', () => {
    const once = settled(changed(startHistory(0), 1, 'drag'))
    expect(undone(changed(once, 2, 'drag')).present).toBe(1)
  })

  it('a change after an undo leaves nothing to redo', () => {
    const history = changed(undone(changed(startHistory(0), 1, null)), 2, null)
    expect(history.future).toEqual([])
    expect(redone(history).present).toBe(2)
  })

  it('without a step to go to nothing changes', () => {
    expect(undone(startHistory(7)).present).toBe(7)
    expect(redone(startHistory(7)).present).toBe(7)
  })

  it('any run of changes can be undone to its start and redone to its end', () => {
    fc.assert(
      fc.property(steps, (list) => {
        const done = after(list)
        let back = done
        while (back.past.length > 0) back = undone(back)
        expect(back.present).toBe(0)
        let forth = back
        while (forth.future.length > 0) forth = redone(forth)
        expect(forth.present).toBe(done.present)
      }),
    )
  })
})
