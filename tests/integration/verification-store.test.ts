import { randomUUID } from 'node:crypto'
import { afterAll, beforeAll, describe, expect, it, vi } from 'vitest'
import { StoreRecorder } from '../../gateway/recorder/store-recorder.ts'
import type { VerificationDesk } from '../../gateway/verification/verification-desk.ts'
import type { NewEntry, RecordEntry } from '../../shared/schemas/verification.ts'
import { KEEP, madeConfig, openWriter } from '../recorder/support/made-store.ts'
import {
  begun,
  captureOn,
  cleanUp,
  cleanups,
  DAY_MS,
  inStore,
  type Kept,
  loadedOf,
  madeStore,
  noonOf,
  note,
  opened,
  PNG,
  photo,
  REVISION,
  resultOn,
  SECONDS,
  WHO,
} from './support/kept-records.ts'

vi.setConfig({ testTimeout: 60_000 })

// One store for all tests, each with a record of its own, but for those that end it.
let shared: Kept
let desk: VerificationDesk
beforeAll(async () => {
  shared = await opened()
  desk = shared.desk
})
afterAll(cleanUp)

const protectedRanges = ({ key }: NewEntry) =>
  inStore(
    shared,
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
    while (writer.retain(noonOf(400), 2000)) {
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
    const id = await begun(desk)
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
    const id = await begun(desk)
    const entry = { ...resultOn(1), captures: [{ ...captureOn(1), ...range }] } as NewEntry
    await expect(desk.add(id, entry)).rejects.toMatchObject({
      code: 'EVP_CAPTURE',
      message: expect.stringMatching(words),
    })
    expect((await desk.record(id)).entries).toEqual([])
  })

  it('longer than ten minutes says from when on its samples were read; a shorter one is read whole', async () => {
    const id = await begun(desk)
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
    const id = await begun(desk)
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
    const id = await begun(desk)
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
    const id = await begun(desk)
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
    const id = await begun(desk)
    const without = shared.deskWith({ loaded: () => loadedOf({ ...madeConfig(), zones: [] }, REVISION) })
    await expect(without.add(id, note('The zone was taken out.'))).resolves.toMatchObject({ seq: 1 })
    await expect(without.add(id, resultOn(1))).rejects.toMatchObject({ code: 'EVP_NOT_FOUND' })
  })

  it.each([
    ['database or disk is full', 'EVP_STORE_FULL'],
    ['disk I/O error', 'EVP_STORE_WRITE'],
  ])('while the store says “%s” is refused with %s, and nothing of it is kept', async (says, code) => {
    const id = await begun(desk)
    await desk.add(id, note('Before'))
    inStore(shared, (db) =>
      db.exec(`CREATE TRIGGER refuse BEFORE INSERT ON document BEGIN SELECT RAISE(ABORT, '${says}'); END`),
    )
    const result = resultOn(1)
    for (const entry of [note('During'), result, photo()])
      await expect(desk.add(id, entry)).rejects.toMatchObject({ code })
    expect(protectedRanges(result)).toEqual([])
    inStore(shared, (db) => db.exec('DROP TRIGGER refuse'))
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
    const id = await begun(desk)
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
    const id = await begun(desk)
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
    const id = await begun(desk)
    for (const text of ['One', 'Two', 'Three']) await desk.add(id, note(text))
    await desk.entries(id, 0)
    inStore(shared, (db) =>
      db.prepare("DELETE FROM document WHERE kind = ? AND id = '000003'").run(`verification/${id}`),
    )
    const { entries, digest } = await desk.entries(id, 1)
    expect(entries.map(({ seq }) => seq)).toEqual([2])
    expect(digest).toBe((await desk.record(id)).digest)
  })

  it('of a record that never was is refused', async () => {
    await expect(desk.entries(randomUUID(), 0)).rejects.toMatchObject({ code: 'EVP_NOT_FOUND' })
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
