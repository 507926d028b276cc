import { createHash, randomUUID } from 'node:crypto'
import { mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { dirname, join } from 'node:path'
import { DatabaseSync } from '@photostructure/sqlite'
import { afterAll, beforeAll, describe, expect, it, vi } from 'vitest'
import { stringify } from 'yaml'
import { type LoadedConfig, parseConfig } from '../../gateway/config/load.ts'
import type { Database } from '../../gateway/recorder/driver.ts'
import { settingsOf } from '../../gateway/recorder/settings.ts'
import { StoreRecorder } from '../../gateway/recorder/store-recorder.ts'
import { VerificationDesk, type VerificationDeskOptions } from '../../gateway/verification/verification-desk.ts'
import { entryHash, headHash } from '../../lib/verification/chain.ts'
import type { Config } from '../../shared/schemas/config.ts'
import type { CaptureAsk } from '../../shared/schemas/verification/capture.ts'
import type { NewEntry, RecordEntry, RecordHead } from '../../shared/schemas/verification.ts'
import { countsOf, KEEP, madeColumn, madeConfig, openWriter, START_MS } from '../recorder/support/made-store.ts'
import { runEvenpull } from './support/command.ts'

vi.setConfig({ testTimeout: 60_000 })
const WHO = 'A. Fitter'
const DAY_MS = 86_400_000
const noonOf = (day: number) => START_MS + (day + 0.5) * DAY_MS
/** Of each day, 100 samples a second. */
const SECONDS = 20
const REVISION = 'aaaaaaaaaaaa'
const sha256 = (text: string) => createHash('sha256').update(text).digest('hex')

interface Kept {
  readonly configPath: string
  readonly storePath: string
  readonly recorder: StoreRecorder
  readonly desk: VerificationDesk
  /** A desk of its own over the same store. */
  deskWith(options: Partial<VerificationDeskOptions>): VerificationDesk
}

const cleanups: (() => Promise<void> | void)[] = []
const cleanUp = async () => {
  for (const cleanup of cleanups.splice(0).reverse()) await cleanup()
}

/** Six days in a store. */
function madeStore(): { configPath: string; storePath: string } {
  const folder = mkdtempSync(join(tmpdir(), 'evenpull-verification-'))
  cleanups.push(() => rmSync(folder, { recursive: true, force: true }))
  const configPath = join(folder, 'line.yaml')
  writeFileSync(configPath, stringify(madeConfig()))
  const { path: storePath } = settingsOf(madeConfig(), configPath)
  mkdirSync(dirname(storePath), { recursive: true })
  const writer = openWriter(storePath)
  for (let day = 0; day < 6; day += 1) {
    const raws = Array.from({ length: 100 * SECONDS }, (_, i) => countsOf(100 + 10 * day) + (i % 5))
    writer.samples(['ds', 'os'].map((channel) => madeColumn(channel, noonOf(day), 10, raws)))
    writer.seal()
  }
  writer.close()
  return { configPath, storePath }
}

const loadedOf = (config: Config, revision: string): LoadedConfig => ({
  ...parseConfig(stringify(madeConfig()), 'line.yaml'),
  config,
  revision,
})

/** A desk over a store, in which it is the evening of the last day. */
async function opened(store = madeStore()): Promise<Kept> {
  const nowMs = () => noonOf(5) + DAY_MS / 4
  const loaded = loadedOf(madeConfig(), REVISION)
  const recorder = await StoreRecorder.open({ configPath: store.configPath, wallMs: nowMs, log: () => {} }, loaded)
  cleanups.push(() => recorder.close())
  const deskWith = (options: Partial<VerificationDeskOptions>) =>
    new VerificationDesk({
      recorder,
      loaded: () => loaded,
      shift: async () => undefined,
      version: '0.0.0',
      nowMs,
      monotonicMs: () => 0,
      wait: async () => {},
      ...options,
    })
  return { ...store, recorder, desk: deskWith({}), deskWith }
}

// One store for all tests, each with a record of its own, but for those that end it.
let shared: Kept
let desk: VerificationDesk
beforeAll(async () => {
  shared = await opened()
  desk = shared.desk
})
afterAll(cleanUp)

const begun = async (at = desk) => (await at.begin('z', { key: randomUUID(), who: WHO, title: 'A record' })).head.id
const note = (text: string): NewEntry => ({ kind: 'note', key: randomUUID(), who: WHO, test: null, text })
const captureOn = (day: number, seconds = SECONDS): CaptureAsk => ({
  key: randomUUID(),
  capture: 'still',
  fromMs: noonOf(day),
  toMs: noonOf(day) + 1000 * seconds,
  values: {},
})
const resultOn = (day: number): NewEntry => ({
  kind: 'result',
  key: randomUUID(),
  who: WHO,
  test: 'electric.channels',
  phase: 'as-left',
  values: {},
  captures: [captureOn(day)],
})
const PNG = Buffer.concat([Buffer.from('89504e470d0a1a0a', 'hex'), Buffer.alloc(64, 7)])
const photo = (picture = PNG): NewEntry => ({
  kind: 'photo',
  key: randomUUID(),
  who: WHO,
  test: null,
  caption: 'Dial',
  mediaType: 'image/png',
  data: picture.toString('base64'),
})

/** Does something to the file behind everybody's back. */
function inStore<T>(act: (db: Database) => T): T {
  const db = new DatabaseSync(shared.storePath, { timeout: 5000 })
  try {
    return act(db)
  } finally {
    db.close()
  }
}
const protectedRanges = ({ key }: NewEntry) =>
  inStore(
    (db) =>
      db.prepare('SELECT t0, t1 FROM protected WHERE name LIKE ?').all(`%${key}%`) as { t0: number; t1: number }[],
  )

describe('a capture', () => {
  it('outlives every limit of age with its record and its photos; what nobody captured goes', async () => {
    const own = await opened()
    const id = await begun(own.desk)
    await own.desk.add(id, resultOn(1))
    await own.desk.add(id, photo())
    const before = await own.desk.record(id)
    await own.recorder.close()
    const writer = openWriter(own.storePath)
    while (writer.retain(noonOf(400))) {
      // until nothing is left beyond its limit
    }
    writer.close()
    const { desk: later } = await opened(own)
    expect(await later.record(id)).toEqual(before)
    expect(await later.check(id)).toMatchObject({ whole: true, entries: 2 })
    const previewOn = (day: number) =>
      later.preview(id, { test: 'electric.channels', phase: 'as-left', values: {}, captures: [captureOn(day)] })
    const [kept] = (await previewOn(1)).captures
    expect(before.entries[0]).toMatchObject({ captures: [{ sides: kept?.sides, trace: kept?.trace }] })
    expect(kept?.sides.drive_side).toMatchObject({ good: 100 * SECONDS, badStretches: 0 })
    await expect(previewOn(2)).rejects.toMatchObject({ code: 'EVP_CAPTURE' })
  })

  it('over or before a change of the config is refused, with both revisions named', async () => {
    const id = await begun()
    const changed = shared.deskWith({ loaded: () => loadedOf(madeConfig(2), 'bbbbbbbbbbbb') })
    const entry = resultOn(1)
    await expect(changed.add(id, entry)).rejects.toMatchObject({
      code: 'EVP_CAPTURE',
      message: expect.stringMatching(/config was changed.*aaaaaaaaaaaa.*bbbbbbbbbbbb/),
    })
    expect((await desk.record(id)).entries).toEqual([])
    expect(protectedRanges(entry)).toEqual([])
  })

  it.each([
    ['that is over before it begins', { fromMs: noonOf(1), toMs: noonOf(1) - 1 }, /half a second/],
    ['longer than a day', { fromMs: noonOf(1), toMs: noonOf(3) }, /longer than a day/],
    [
      'of a night in which nothing was recorded',
      { fromMs: noonOf(1) + 3_600_000, toMs: noonOf(1) + 3_700_000 },
      /no sample/,
    ],
    ['that ends in the future', { fromMs: noonOf(5), toMs: noonOf(5) + DAY_MS / 2 }, /future/],
  ])('%s is refused in words', async (_, range, words) => {
    const id = await begun()
    const entry = { ...resultOn(1), captures: [{ ...captureOn(1), ...range }] } as NewEntry
    await expect(desk.add(id, entry)).rejects.toMatchObject({
      code: 'EVP_CAPTURE',
      message: expect.stringMatching(words),
    })
    expect((await desk.record(id)).entries).toEqual([])
  })

  it('longer than ten minutes says from when on its samples were read; a shorter one is read whole', async () => {
    const id = await begun()
    const toMs = noonOf(1) + 1000 * SECONDS
    const previewFrom = async (fromMs: number) => {
      const captures = [{ ...captureOn(1), fromMs, toMs }]
      const ask = { test: 'electric.channels', phase: 'as-left', values: {}, captures } as const
      const [kept] = (await desk.preview(id, ask)).captures
      return kept
    }
    const long = await previewFrom(toMs - 1_200_000)
    expect(long).toMatchObject({ fromMs: toMs - 1_200_000, toMs, sampledFromMs: toMs - 600_000 })
    expect(long?.trace.t.every((t) => t >= 600)).toBe(true)
    expect(await previewFrom(toMs - 600_000)).not.toHaveProperty('sampledFromMs')
  })

  it('that ends just now is waited for until its samples are on the disk', async () => {
    const waits: number[] = []
    const waiting = shared.deskWith({
      nowMs: () => noonOf(1) + 9_900,
      wait: async (ms) => {
        waits.push(ms)
      },
    })
    const id = await begun()
    const ask = { test: 'electric.channels', phase: 'as-left', values: {} } as const
    await waiting.preview(id, { ...ask, captures: [captureOn(1, 10)] })
    await waiting.preview(id, { ...ask, captures: [captureOn(1, 5)] })
    expect(waits).toHaveLength(1)
    expect(waits[0]).toBeGreaterThanOrEqual(100)
    expect(waits[0]).toBeLessThan(1000)
  })
})

describe('what is added', () => {
  it('by twenty hands at once has a place of its own, and what was sent twice has one', async () => {
    const id = await begun()
    const twice = note('Sent twice')
    const sent = [...Array.from({ length: 20 }, (_, i) => note(`Note ${i}`)), twice, twice, resultOn(1), resultOn(1)]
    const kept = await Promise.all(sent.map((entry) => desk.add(id, entry)))
    const { entries } = await desk.record(id)
    expect(entries.map(({ seq }) => seq)).toEqual(Array.from({ length: 23 }, (_, i) => i + 1))
    expect(kept[20]).toEqual(kept[21])
    const attempts = entries.flatMap((entry) => (entry.kind === 'result' ? [entry.attempt] : []))
    expect(attempts).toEqual([1, 2])
    expect(await desk.check(id)).toMatchObject({ whole: true, entries: 23 })
  })

  it('with the key of an entry of other content is refused, also at the same moment, and the entry stays', async () => {
    const id = await begun()
    const result = resultOn(1)
    const first = [note('First'), photo(), result]
    for (const entry of first) await desk.add(id, entry)
    const [{ key: ofNote }, { key: ofPhoto }] = first as [NewEntry, NewEntry]
    const captures = [{ ...captureOn(1), key: randomUUID() }]
    const others = [
      { ...note('Second'), key: ofNote },
      { ...resultOn(1), key: ofNote },
      { ...photo(Buffer.concat([PNG, Buffer.alloc(1)])), key: ofPhoto },
      { ...result, phase: 'as-found' },
      { ...result, captures },
    ] as NewEntry[]
    for (const entry of others) await expect(desk.add(id, entry)).rejects.toMatchObject({ code: 'EVP_KEY_REUSED' })
    const key = randomUUID()
    const told = await Promise.allSettled(['One', 'Two'].map((text) => desk.add(id, { ...note(text), key })))
    expect(told.map(({ status }) => status).toSorted()).toEqual(['fulfilled', 'rejected'])
    // Sent again by somebody who has logged in meanwhile: still the same.
    for (const entry of first) await desk.add(id, { ...entry, who: 'B. Fitter' })
    expect((await desk.record(id)).entries.map(({ key }) => key)).toEqual([...first.map((entry) => entry.key), key])
    expect(protectedRanges(result).length).toBeGreaterThan(0)
  })

  it('a record begun with the key of another is refused; begun twice it is one', async () => {
    const asked = { key: randomUUID(), who: WHO, title: 'Once' }
    const record = await desk.begin('z', asked)
    expect(await desk.begin('z', asked)).toEqual(record)
    await expect(desk.begin('z', { ...asked, title: 'Twice' })).rejects.toMatchObject({ code: 'EVP_KEY_REUSED' })
  })

  it('needs no zone in the config any more, but for what is captured', async () => {
    const id = await begun()
    const without = shared.deskWith({ loaded: () => loadedOf({ ...madeConfig(), zones: [] }, REVISION) })
    await expect(without.add(id, note('The zone was taken out.'))).resolves.toMatchObject({ seq: 1 })
    await expect(without.add(id, resultOn(1))).rejects.toMatchObject({ code: 'EVP_NOT_FOUND' })
  })

  it.each([
    ['database or disk is full', 'EVP_STORE_FULL'],
    ['disk I/O error', 'EVP_STORE_WRITE'],
  ])('while the store says “%s” is refused with %s, and nothing of it is kept', async (says, code) => {
    const id = await begun()
    await desk.add(id, note('Before'))
    inStore((db) =>
      db.exec(`CREATE TRIGGER refuse BEFORE INSERT ON document BEGIN SELECT RAISE(ABORT, '${says}'); END`),
    )
    const result = resultOn(1)
    for (const entry of [note('During'), result, photo()])
      await expect(desk.add(id, entry)).rejects.toMatchObject({ code })
    expect(protectedRanges(result)).toEqual([])
    inStore((db) => db.exec('DROP TRIGGER refuse'))
    await desk.add(id, result)
    expect((await desk.record(id)).entries.map(({ seq, kind }) => [seq, kind])).toEqual([
      [1, 'note'],
      [2, 'result'],
    ])
    expect(protectedRanges(result).map(({ t0, t1 }) => [t0, t1])).toEqual(
      ['ds', 'os', 'v'].map(() => [10 * noonOf(1), 10 * (noonOf(1) + 1000 * SECONDS)]),
    )
    expect(await desk.check(id)).toMatchObject({ whole: true, entries: 2 })
  })

  it('is told in the trail, with the hash that it has', async () => {
    const id = await begun()
    const signature: NewEntry = { kind: 'signature', key: randomUUID(), who: WHO, name: WHO }
    const kept = [await desk.add(id, resultOn(1)), await desk.add(id, signature)]
    const { events } = await shared.recorder.events({ kind: 'verification', limit: 3 })
    expect(events.map(({ who, data }) => [who, data.record, data.seq, data.hash])).toEqual([
      ...kept.toReversed().map(({ seq, hash }) => [WHO, id, seq, hash]),
      [WHO, id, 0, kept[0]?.previous],
    ])
    expect(events[0]?.text).toMatch(/signed/i)
  })
})

describe('what is new', () => {
  it('is told to whoever knows the rest, entry for entry as the whole record has it, with digest and signature', async () => {
    const id = await begun()
    const told: RecordEntry[] = []
    const look = async () => {
      const { entries, digest, signed } = await desk.entries(id, told.length)
      told.push(...entries)
      const record = await desk.record(id)
      expect([told, digest, signed]).toEqual([record.entries, record.digest, record.signed])
      const listed = (await desk.list('z')).records.find((one) => one.id === id)
      const changedMs = told.at(-1)?.timeMs ?? record.head.begunMs
      expect(listed).toMatchObject({ entries: told.length, digest, signed, changedMs })
    }
    await look()
    for (const entry of [note('One'), resultOn(1), note('Three')]) {
      await desk.add(id, entry)
      await look()
    }
    await desk.add(id, { kind: 'signature', key: randomUUID(), who: WHO, name: WHO })
    await desk.add(id, note('After it'))
    await look()
    await look()
    expect((await desk.entries(id, 1)).entries).toEqual(told.slice(1))
    expect((await desk.entries(id, 99)).entries).toEqual([])
  })

  it('is read from the store again when its end is not the one that was known', async () => {
    const id = await begun()
    for (const text of ['One', 'Two', 'Three']) await desk.add(id, note(text))
    await desk.entries(id, 0)
    inStore((db) => db.prepare("DELETE FROM document WHERE kind = ? AND id = '000003'").run(`verification/${id}`))
    const { entries, digest } = await desk.entries(id, 1)
    expect(entries.map(({ seq }) => seq)).toEqual([2])
    expect(digest).toBe((await desk.record(id)).digest)
  })

  it('of a record that never was is refused', async () => {
    await expect(desk.entries(randomUUID(), 0)).rejects.toMatchObject({ code: 'EVP_NOT_FOUND' })
  })
})

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
    inStore((db) => db.prepare("DELETE FROM document WHERE kind = ? AND id = '000003'").run(kindOf(id)))
    const { whole, broken } = await desk.check(id)
    expect(whole).toBe(false)
    expect(broken).toEqual([{ seq: 3, what: expect.stringMatching(/not there any more.*signed/i) }])
  })

  it('shows that all of it was written anew with right hashes', async () => {
    const id = await written()
    inStore((db) => {
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
    inStore((db) => write(db, kindOf(id), '000001', `x${bodyOf(db, kindOf(id), '000001').slice(1)}`))
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
    inStore((db) => write(db, 'verification-photo', hash, JSON.stringify({ data: PNG.toString('base64') })))
    expect((await desk.check(id)).broken).toEqual([{ seq: 2, what: expect.stringMatching(/photo was changed/) }])
    await expect(desk.photo(id, hash)).rejects.toMatchObject({ code: 'EVP_RECORD_DAMAGED' })
    expect((await desk.photos(await desk.record(id))).size).toBe(0)
    inStore((db) => db.prepare("DELETE FROM document WHERE kind = 'verification-photo' AND id = ?").run(hash))
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

it('without recording nothing is begun, listed or added, and the refusal says so; the plan is there', async () => {
  const own = madeStore()
  const off = { ...madeConfig(), recorder: { ...madeConfig().recorder, enabled: false } }
  const nowMs = () => noonOf(5)
  const loaded = loadedOf(off, REVISION)
  const recorder = await StoreRecorder.open({ configPath: own.configPath, wallMs: nowMs, log: () => {} }, loaded)
  cleanups.push(() => recorder.close())
  const without = shared.deskWith({ recorder, loaded: () => loaded })
  const refused = { code: 'EVP_RECORDER_OFF' }
  await expect(begun(without)).rejects.toMatchObject(refused)
  await expect(without.list('z')).rejects.toMatchObject(refused)
  await expect(without.add(randomUUID(), note('Lost?'))).rejects.toMatchObject(refused)
  expect(without.plan('z').stages).toHaveLength(6)
})

it('the limits of age that captures outlive are shorter than these tests look ahead', () => {
  expect(KEEP.samples.days).toBeLessThan(400)
})
