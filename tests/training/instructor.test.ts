import { afterAll, beforeAll, beforeEach, describe, expect, it } from 'vitest'
import * as example from '../../gateway/http/training-examples.ts'
import type { TrainingAsk } from '../../gateway/training/training-link.ts'
import { bearer, madeAccess, oneOfEach } from '../access/support/made-access.ts'
import { ask, type Served, serve } from '../http/support/served.ts'

const asked: TrainingAsk[] = []
const training = {
  ask: async (one: TrainingAsk) => {
    asked.push(one)
    return example.instructor
  },
}
const PATH = '/api/training/instructor'

let open: Served
let closed: Served
beforeAll(async () => {
  open = await serve({ sources: { training } })
  closed = await serve({ sources: { training, access: madeAccess(await oneOfEach()).access } })
})
afterAll(async () => {
  await open.close()
  await closed.close()
})
beforeEach(() => {
  asked.length = 0
})

describe('who is an instructor', () => {
  it('where nobody logs in, whoever sends the key: the desk decides, and is told of none where none was sent', async () => {
    await ask(open.port, PATH, { headers: { 'x-training-key': 'abc' } })
    await ask(open.port, PATH)
    expect(asked.map(({ instructor }) => instructor)).toEqual([{ key: 'abc' }, { key: null }])
  })

  it('where people log in, an engineer, whatever key comes with it; the others are not even asked for', async () => {
    expect((await ask(closed.port, PATH, { headers: bearer('engineer') })).status).toBe(200)
    expect(asked.map(({ instructor }) => instructor)).toEqual(['engineer'])
    for (const role of ['view', 'operate'] as const) {
      const reply = await ask(closed.port, PATH, { headers: { ...bearer(role), 'x-training-key': 'abc' } })
      expect(reply.status, role).toBe(403)
    }
    expect(asked).toHaveLength(1)
  })

  it('what only a trainee asks goes to the desk without either', async () => {
    await ask(open.port, '/api/training', { headers: { 'x-training-key': 'abc' } })
    expect(asked[0]).toEqual({ method: 'GET', path: '/api/training' })
  })
})

describe('an answer of the desk that has more in it than the contract', () => {
  it('reaches nobody', async () => {
    const leaking = { ask: async () => ({ ...example.exercise, faults: ['gain-one-side'] }) }
    const served = await serve({ sources: { training: leaking } })
    const reply = await ask(served.port, '/api/training/exercise')
    expect(reply.status).toBe(500)
    expect(reply.text).not.toContain('gain-one-side')
    await served.close()
  })
})
