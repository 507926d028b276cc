import { randomUUID } from 'node:crypto'
import { readFileSync, writeFileSync } from 'node:fs'
import { dirname } from 'node:path'
import { afterAll, beforeAll, describe, expect, it, vi } from 'vitest'
import type { Database } from '../../gateway/recorder/driver.ts'
import type { VerificationDesk } from '../../gateway/verification/verification-desk.ts'
import { entryHash, headHash } from '../../lib/verification/chain.ts'
import type { RecordEntry, RecordHead } from '../../shared/schemas/verification.ts'
import { runEvenpull } from './support/command.ts'
import { begun, cleanUp, inStore, type Kept, note, opened, PNG, photo, sha256, WHO } from './support/kept-records.ts'

vi.setConfig({ testTimeout: 60_000 })

// One store for all tests, each with a record of its own, but for those that end it.
let shared: Kept
let desk: VerificationDesk
beforeAll(async () => {
  shared = await opened()
  desk = shared.desk
})
afterAll(cleanUp)

describe('a record that somebody changed in the store', () => {
  const kindOf = (id: string) => `verification/${id}`
  async function written(at = desk, picture = PNG): Promise<string> {
    const id = await begun(at)
    await at.add(id, note('First words'))
    await at.add(id, photo(picture))
    await at.add(id, { kind: 'signature', key: randomUUID(), who: WHO, name: WHO })
    expect((await at.check(id)).broken).toEqual([])
    return id
  }
  const bodyOf = (db: Database, kind: string, id: string) =>
    (db.prepare('SELECT body FROM document WHERE kind = ? AND id = ?').get(kind, id) as { body: string }).body
  const write = (db: Database, kind: string, id: string, body: string) =>
    db.prepare('UPDATE document SET body = ? WHERE kind = ? AND id = ?').run(body, kind, id)

  it('shows that its end was taken off, which no chain can', async () => {
    const id = await written()
    inStore(shared, (db) => db.prepare("DELETE FROM document WHERE kind = ? AND id = '000003'").run(kindOf(id)))
    const { whole, broken } = await desk.check(id)
    expect(whole).toBe(false)
    expect(broken).toEqual([{ seq: 3, what: expect.stringMatching(/not there any more.*signed/i) }])
  })

  it('shows that all of it was written anew with right hashes', async () => {
    const id = await written()
    inStore(shared, (db) => {
      const head = JSON.parse(bodyOf(db, 'verification', id)) as RecordHead
      let previous = headHash({ ...head, title: 'Another title' }, sha256)
      write(db, 'verification', id, JSON.stringify({ ...head, title: 'Another title' }))
      for (const seq of ['000001', '000002', '000003']) {
        const entry = { ...(JSON.parse(bodyOf(db, kindOf(id), seq)) as RecordEntry), previous }
        previous = entryHash(entry, sha256)
        write(db, kindOf(id), seq, JSON.stringify({ ...entry, hash: previous }))
      }
    })
    expect((await desk.check(id)).broken.map(({ seq }) => seq)).toEqual([0, 1, 2, 3])
  })

  it('shows which entry is no JSON any more, and refuses to tell the record', async () => {
    const id = await written()
    inStore(shared, (db) => write(db, kindOf(id), '000001', `x${bodyOf(db, kindOf(id), '000001').slice(1)}`))
    expect((await desk.check(id)).broken).toEqual([{ seq: 1, what: expect.stringMatching(/cannot be read/) }])
    await expect(desk.record(id)).rejects.toMatchObject({ code: 'EVP_RECORD_DAMAGED' })
    await expect(desk.add(id, note('More'))).rejects.toMatchObject({ code: 'EVP_RECORD_DAMAGED' })
  })

  it('shows which photo was changed or taken away, and never shows it', async () => {
    // A photo is kept by what it shows: this one belongs to no other record.
    const picture = Buffer.concat([PNG, Buffer.from('of this test')])
    const id = await written(desk, picture)
    const { entries } = await desk.record(id)
    const hash = entries[1]?.kind === 'photo' ? entries[1].sha256 : ''
    expect((await desk.photo(id, hash)).bytes).toEqual(picture)
    inStore(shared, (db) => write(db, 'verification-photo', hash, JSON.stringify({ data: PNG.toString('base64') })))
    expect((await desk.check(id)).broken).toEqual([{ seq: 2, what: expect.stringMatching(/photo was changed/) }])
    await expect(desk.photo(id, hash)).rejects.toMatchObject({ code: 'EVP_RECORD_DAMAGED' })
    expect((await desk.photos(await desk.record(id))).size).toBe(0)
    inStore(shared, (db) => db.prepare("DELETE FROM document WHERE kind = 'verification-photo' AND id = ?").run(hash))
    expect((await desk.check(id)).broken).toEqual([{ seq: 2, what: expect.stringMatching(/photo is not there/) }])
  })

  it('is told by evenpull report --check for one byte of the file, with the entry: exit code 1', async () => {
    const own = await opened()
    const id = await written(own.desk)
    await own.recorder.close()
    const checked = () => runEvenpull(dirname(own.configPath), 'report', 'line.yaml', id, '--check')
    expect(await checked()).toMatchObject({
      code: 0,
      out: expect.stringMatching(/whole, 3 entries, digest [0-9a-f]{64}/),
    })
    const bytes = readFileSync(own.storePath)
    const at = bytes.indexOf('First words')
    expect(at).toBeGreaterThan(0)
    bytes.write('f', at, 'latin1')
    writeFileSync(own.storePath, bytes)
    const { code, out } = await checked()
    expect(code).toBe(1)
    expect(out).toMatch(/^entry 1: it was changed after it was written$/m)
  })
})
