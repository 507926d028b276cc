import { beforeEach, describe, expect, it, vi } from 'vitest'

const KEY = 'evenpull.verification.drafts'
let kept: Map<string, string>

/** Each import is a tab of the same browser. */
async function tab() {
  vi.resetModules()
  return import('../../../app/verification/_model/draft-store.ts')
}
const typed = (text: string) => (before: object) => ({ ...before, typed: { text } }) as never
const stored = () => JSON.parse(kept.get(KEY) ?? '{}') as Record<string, { typed: { text: string } }>

beforeEach(() => {
  vi.unstubAllGlobals()
  kept = new Map()
  vi.stubGlobal('localStorage', {
    getItem: (name: string) => kept.get(name) ?? null,
    setItem: (name: string, text: string) => kept.set(name, text),
  })
})

describe('what is typed for the tests of a record', () => {
  it('in two tabs does not drop one another', async () => {
    const [first, second] = [await tab(), await tab()]
    first.changeDraft('r fit.level', typed('a'))
    second.changeDraft('r fit.runout', typed('b'))
    first.changeDraft('r fit.level', typed('ab'))
    expect(Object.values(stored()).map((draft) => draft.typed.text)).toEqual(['ab', 'b'])
    second.dropDraft('r fit.runout')
    expect(Object.keys(stored())).toEqual(['r fit.level'])
  })
})
