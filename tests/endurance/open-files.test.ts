import { describe, expect, it } from 'vitest'
import { openFilesOver } from './open-files.ts'

const rest = (gateway: readonly string[], isInStretch = true) => ({ isInStretch, files: [gateway, ['pipe']] as const })
const HELD = ['a.sqlite', 'pipe', 'pipe', 'socket']

describe('open files of a run', () => {
  it('are named where there are more of them at the end, also the second of a kind', () => {
    const rests = [rest(HELD), rest(HELD), rest(HELD), rest([...HELD, 'leak', 'pipe']), rest([...HELD, 'leak', 'pipe'])]
    expect(openFilesOver(rests)).toEqual({
      gateway: { begin: 4, end: 6, more: ['leak', 'pipe'] },
      polling: { begin: 1, end: 1, more: [] },
    })
  })

  it('that one look caught in passing are none: nor at the beginning, where they would hide one that stays', () => {
    const passing = [...HELD, 'a.sqlite-journal']
    expect(openFilesOver([rest(passing), rest(HELD), rest(HELD), rest(passing)]).gateway).toMatchObject({
      begin: 4,
      end: 4,
      more: [],
    })
  })

  it('are of the long stretch alone, and none where nobody looked', () => {
    expect(openFilesOver([rest(['x'], false), rest(HELD), rest(HELD), rest([], false)]).gateway).toMatchObject({
      begin: 4,
      end: 4,
    })
    expect(openFilesOver([]).gateway).toEqual({ begin: 0, end: 0, more: [] })
  })
})
