import { describe, expect, it } from 'vitest'
import { Sessions } from '../../gateway/access/sessions.ts'

const LIMITS = { idleMs: 1000, longestMs: 10_000 }
const ANNA = { name: 'Anna', stamp: 's1' }

describe('a session', () => {
  it('goes on while it is used, and ends after idling', () => {
    const sessions = new Sessions(LIMITS)
    const id = sessions.begin(ANNA, 0)
    for (let ms = 999; ms < 5000; ms += 999) expect(sessions.use(id, ms)?.user).toBe('Anna')
    expect(sessions.use(id, 4995 + 1000)).toBeNull()
  })

  it('ends after its longest time however much it is used', () => {
    const sessions = new Sessions(LIMITS)
    const id = sessions.begin(ANNA, 0)
    for (let ms = 0; ms < 10_000; ms += 500) expect(sessions.use(id, ms)).not.toBeNull()
    expect(sessions.use(id, 10_000)).toBeNull()
  })

  it('looked at without being used goes on idling', () => {
    const sessions = new Sessions(LIMITS)
    const { key } = sessions.use(sessions.begin(ANNA, 0), 0) ?? { key: '' }
    expect(sessions.peek(key, 999)).not.toBeNull()
    expect(sessions.peek(key, 1000)).toBeNull()
  })

  it('is found by its id alone, which is kept nowhere', () => {
    const sessions = new Sessions(LIMITS)
    const id = sessions.begin(ANNA, 0)
    const [kept] = sessions.all()
    expect(JSON.stringify(sessions.all())).not.toContain(id)
    expect(sessions.use(kept?.key ?? '', 1)).toBeNull()
    expect(id).toMatch(/^[\w-]{43}$/)
  })

  it('outlives the process: what was kept goes on with its times', () => {
    const before = new Sessions(LIMITS)
    const id = before.begin(ANNA, 0)
    const after = new Sessions(LIMITS, before.all())
    expect(after.use(id, 999)?.createdMs).toBe(0)
    expect(new Sessions(LIMITS, before.all()).use(id, 1000)).toBeNull()
  })

  it('does not become endless by a clock that was set ahead and back', () => {
    const sessions = new Sessions(LIMITS)
    const id = sessions.begin(ANNA, 0)
    sessions.use(id, 900)
    sessions.use(id, 500)
    expect(sessions.use(id, 1500)).toBeNull()
  })

  it('is taken away with why: its time, or its user', () => {
    const sessions = new Sessions(LIMITS)
    sessions.begin(ANNA, 0)
    sessions.begin({ name: 'Ben', stamp: 's2' }, 900)
    const ended = sessions.sweep(1000, ({ user }) => user !== 'Ben')
    expect(ended.map(({ session, byTime }) => [session.user, byTime])).toEqual([
      ['Anna', true],
      ['Ben', false],
    ])
    expect(sessions.all()).toEqual([])
  })

  it('of one user are twenty at most, of all two thousand: the longest unused ends', () => {
    const sessions = new Sessions(LIMITS)
    const first = sessions.begin(ANNA, 0)
    for (let i = 1; i <= 20; i++) sessions.begin(ANNA, i)
    expect(sessions.use(first, 20)).toBeNull()
    expect(sessions.all()).toHaveLength(20)
    for (let i = 0; i < 3000; i++) sessions.begin({ name: `user ${i}`, stamp: 's' }, 21)
    expect(sessions.all()).toHaveLength(2000)
  })
})
