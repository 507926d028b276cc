import { describe, expect, it } from 'vitest'
import { firstOut } from '../../lib/alarms/first-out.ts'
import { firstMemory } from '../../lib/alarms/state.ts'

const quiet = (id: string) => ({ id, memory: firstMemory(0) })
const since = (id: string, beganMs: number) => ({
  id,
  memory: { ...firstMemory(0), occurrence: { beganMs, announcedMs: beganMs + 5000 } },
})

describe('first-out of a group', () => {
  it('is nothing while nothing is wrong', () => expect(firstOut(null, [quiet('a'), quiet('b')])).toBeNull())

  it('is the one whose condition began first, however late it was announced', () => {
    const alone = firstOut(null, [since('b', 2000), quiet('a')])
    expect(alone).toEqual({ ids: ['b'], beganMs: 2000 })
    expect(firstOut(alone, [since('b', 2000), since('a', 1000)])).toEqual({ ids: ['a'], beganMs: 1000 })
  })

  it('stays with the first until all are over', () => {
    const first = firstOut(null, [since('a', 1000), since('b', 2000)])
    expect(firstOut(first, [quiet('a'), since('b', 2000)])).toEqual({ ids: ['a'], beganMs: 1000 })
    expect(firstOut(first, [quiet('a'), quiet('b')])).toBeNull()
  })

  it('is shared by those that nothing tells apart', () =>
    expect(firstOut(null, [since('a', 1000), since('b', 1000)])?.ids).toEqual(['a', 'b']))

  it('begins anew after the group was clear', () => {
    const before = firstOut(null, [since('a', 1000)])
    expect(firstOut(firstOut(before, [quiet('a')]), [since('b', 9000)])?.ids).toEqual(['b'])
  })
})
