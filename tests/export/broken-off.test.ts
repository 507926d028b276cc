import { afterEach, expect, it } from 'vitest'
import type { Access } from '../../gateway/access/access.ts'
import { OPEN } from '../../gateway/access/caller.ts'
import type { SampleBlock } from '../../gateway/recorder/recorder.ts'
import { madeAccess, NAMES, oneOfEach, PASSWORDS } from '../access/support/made-access.ts'
import { ask, jsonBody, type Served, serve } from '../http/support/served.ts'
import { madeBlocks, madeExports, madeSource, START_MS } from './support/made-range.ts'

let served: Served
afterEach(() => served.close())

/** A store that has no end. */
async function* endless(): AsyncGenerator<SampleBlock> {
  for (;;) {
    yield madeBlocks[0] as SampleBlock
    await new Promise(setImmediate)
  }
}

it('an export that is cancelled on its way breaks off on the wire: no reader takes a part for the whole', async () => {
  const source = madeSource()
  const exports = madeExports(source, endless)
  served = await serve({ sources: { exports } })
  const address = `http://127.0.0.1:${served.port}`
  const reply = await fetch(`${address}/api/zones/z/export?from=${START_MS}&to=${START_MS + 1000}&job=endless-1`)
  const reader = reply.body?.getReader()
  await reader?.read()
  const cancelled = await fetch(`${address}/api/exports/endless-1/cancel`, { method: 'POST' })
  expect(cancelled.status).toBe(200)
  await expect(async () => {
    while (!(await reader?.read())?.done);
  }).rejects.toThrow()
  expect(exports.progress('endless-1').state).toBe('cancelled')
  expect(source.events.map(({ kind }) => kind)).toEqual(['export'])
})

it('an export whose reader leaves is over, and the store is let go', async () => {
  const source = madeSource()
  const exports = madeExports(source, endless)
  served = await serve({ sources: { exports } })
  const leaving = new AbortController()
  const url = `http://127.0.0.1:${served.port}/api/zones/z/export?from=${START_MS}&to=${START_MS + 1000}&job=endless-2`
  const reply = await fetch(url, { signal: leaving.signal })
  await reply.body?.getReader().read()
  leaving.abort()
  await expect.poll(() => exports.progress('endless-2').state, { timeout: 20_000 }).toBe('cancelled')
})

it.each([
  ['is removed', (access: Access) => access.removeUser(NAMES.view, OPEN)],
  ['gets another role', (access: Access) => access.changeUser(NAMES.view, { role: 'operate' }, OPEN)],
])('an export by session breaks off when its user %s, as his sockets do', async (_, change) => {
  const { access } = madeAccess(await oneOfEach())
  const exports = madeExports(madeSource(), endless)
  served = await serve({ sources: { exports, access } })
  const login = jsonBody({ name: NAMES.view, password: PASSWORDS.view })
  const session = await ask(served.port, '/api/session', { method: 'POST', ...login })
  const cookie = String(session.headers['set-cookie']).split(';')[0] ?? ''
  const url = `http://127.0.0.1:${served.port}/api/zones/z/export?from=${START_MS}&to=${START_MS + 1000}&job=endless-3`
  const reply = await fetch(url, { headers: { cookie } })
  const reader = reply.body?.getReader()
  await reader?.read()
  await change(access)
  await expect(async () => {
    while (!(await reader?.read())?.done);
  }).rejects.toThrow()
  await expect.poll(() => exports.progress('endless-3').state, { timeout: 20_000 }).toBe('cancelled')
})
