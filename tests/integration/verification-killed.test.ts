import { randomUUID } from 'node:crypto'
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, beforeAll, expect, it } from 'vitest'
import { settingsOf } from '../../gateway/recorder/settings.ts'
import { StoreReader } from '../../gateway/recorder/store-reader.ts'
import { checkRecord, readRecord } from '../../gateway/verification/record-store.ts'
import { type ConfigInput, configSchema } from '../../shared/schemas/config.ts'
import type { NewEntry, RecordEntry, VerificationRecord } from '../../shared/schemas/verification.ts'
import { uniform } from '../statistics/noise-sources.ts'
import { type GatewayProcess, startGatewayProcess } from './support/gateway.ts'

const KILLS = 3
/** Longest life after the first answer: a few dozen entries. */
const LONGEST_MS = 500
const WHO = 'A. Fitter'

let folder: string
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'evenpull-cut-'))
  writeFileSync(join(folder, 'shift.csv'), 'time,drive_side,operator_side\n0,100,101\n1,100,101\n')
})
afterAll(() => rmSync(folder, { recursive: true, force: true }))

function config(): ConfigInput {
  const cell = (id: string, column: string) => ({ id, device: 'rec', column, force: { gain: 1, capacity: 500 } })
  return {
    version: 1,
    recorder: { folder: join(folder, 'kept'), min_free_mb: 1 },
    devices: [{ id: 'rec', transport: 'replay', file: join(folder, 'shift.csv'), speed: 1, rate_hz: 1 }],
    channels: [cell('ds', 'drive_side'), cell('os', 'operator_side')],
    zones: [{ id: 'z', cells: { drive_side: 'ds', operator_side: 'os' } }],
  }
}

async function post<T>(gateway: GatewayProcess, path: string, body: unknown): Promise<T> {
  const reply = await fetch(gateway.address + path, {
    method: 'POST',
    body: JSON.stringify(body),
    headers: { 'content-type': 'application/json' },
  })
  const answer = (await reply.json()) as T
  // Faster than any person types: sent again, as a client does.
  if (reply.status === 429) {
    await new Promise((resolve) => setTimeout(resolve, 50))
    return post(gateway, path, body)
  }
  // Said loudly here: a client that is refused would make a test of nothing.
  if (!reply.ok) throw new Refused(JSON.stringify(answer))
  return answer
}
class Refused extends Error {}

let sent = 0
/** Results, notes and photos in turn, no two alike. */
function newEntry(): NewEntry {
  sent += 1
  const base = { key: randomUUID(), who: WHO }
  if (sent % 3 === 0) return { ...base, kind: 'note', test: null, text: `Note ${sent}` }
  if (sent % 3 === 1)
    return {
      ...base,
      kind: 'result',
      test: 'fit.runout',
      phase: 'as-left',
      values: { runout: sent / 1e4 },
      captures: [],
    }
  const picture = Buffer.concat([Buffer.from('89504e470d0a1a0a', 'hex'), Buffer.alloc(20_000, sent)])
  const data = picture.toString('base64')
  return { ...base, kind: 'photo', test: null, caption: `Photo ${sent}`, mediaType: 'image/png', data }
}

interface Typed {
  readonly acknowledged: RecordEntry[]
  /** Sent and never answered: at most the one entry that each person was typing. */
  readonly unanswered: NewEntry[]
}

/** One person adds entry after entry until the gateway is gone. */
async function typing(gateway: GatewayProcess, id: string, first: () => void): Promise<Typed> {
  const acknowledged: RecordEntry[] = []
  for (;;) {
    const entry = newEntry()
    try {
      acknowledged.push(await post<RecordEntry>(gateway, `/api/verifications/${id}/entries`, entry))
      first()
    } catch (error) {
      if (error instanceof Refused) throw error
      return { acknowledged, unanswered: [entry] }
    }
  }
}

/** The store as whoever comes next finds it. */
async function keptIn(path: string, id: string): Promise<{ record: VerificationRecord; broken: unknown }> {
  const reader = new StoreReader(path)
  try {
    const documents = {
      get: async (kind: string, one: string) => reader.document(kind, one),
      list: async (kind: string) => reader.documents(kind),
    }
    const { broken } = await checkRecord(documents, async (query) => reader.events(query), id)
    return { record: await readRecord(documents, id), broken }
  } finally {
    reader.close()
  }
}

it(`a gateway that is killed ${KILLS} times while two people type has kept every entry that it answered, and the chain holds`, async () => {
  const within = uniform(4711)
  const id = randomUUID()
  const { path } = settingsOf(configSchema.parse(config()), join(folder, 'line.yaml'))
  const acknowledged: RecordEntry[] = []
  let unanswered: NewEntry[] = []
  for (let kill = 0; kill < KILLS; kill += 1) {
    const gateway = await startGatewayProcess(config())
    try {
      await post(gateway, '/api/zones/z/verifications', { key: id, who: WHO, title: 'Cut off' })
      // Whoever got no answer sends it again: it is there once, whether it had come to the disk or not.
      for (const entry of unanswered)
        acknowledged.push(await post<RecordEntry>(gateway, `/api/verifications/${id}/entries`, entry))
      const lifeMs = within() * LONGEST_MS
      let isCut = false
      const first = () => {
        if (!isCut) setTimeout(() => process.kill(gateway.pid, 'SIGKILL'), lifeMs)
        isCut = true
      }
      const people = await Promise.all([typing(gateway, id, first), typing(gateway, id, first)])
      acknowledged.push(...people.flatMap((one) => one.acknowledged))
      unanswered = people.flatMap((one) => one.unanswered)
    } finally {
      await gateway.stop()
    }
    const { record, broken } = await keptIn(path, id)
    expect(broken).toEqual([])
    for (const entry of acknowledged) expect(record.entries[entry.seq - 1]).toEqual(entry)
    expect(record.entries.length).toBeLessThanOrEqual(acknowledged.length + unanswered.length)
    expect(new Set(record.entries.map(({ key }) => key)).size).toBe(record.entries.length)
  }
  expect(acknowledged.length).toBeGreaterThan(3 * KILLS)
}, 240_000)
