import { randomUUID } from 'node:crypto'
import { readFileSync } from 'node:fs'
import { dirname, join } from 'node:path'
import { DatabaseSync } from '@photostructure/sqlite'
import { afterAll, beforeAll, describe, expect, it, vi } from 'vitest'
import type { CaptureAsk } from '../../shared/schemas/verification/capture.ts'
import type { VerificationPlan } from '../../shared/schemas/verification/plan.ts'
import type {
  NewEntry,
  PreviewResult,
  RecordCheck,
  RecordEntry,
  VerificationRecord,
} from '../../shared/schemas/verification.ts'
import type { RecordComparison } from '../../shared/schemas/verification-compare.ts'
import { runEvenpull } from './support/command.ts'
import { type InstallLine, startInstallLine } from './support/install-line.ts'
import { patientFetch } from './support/patient-fetch.ts'

vi.setConfig({ testTimeout: 120_000, hookTimeout: 120_000 })

const WHO = 'A. Fitter'

let line: InstallLine
beforeAll(async () => {
  line = await startInstallLine()
})
afterAll(async () => {
  await line?.stop()
})

const asked = (path: string, init?: RequestInit) => patientFetch(line.address + path, init)

async function call<T>(method: string, path: string, body?: unknown): Promise<{ status: number; body: T }> {
  const sent = { body: JSON.stringify(body), headers: { 'content-type': 'application/json' } }
  const reply = await asked(path, { method, ...(body === undefined ? {} : sent) })
  return { status: reply.status, body: (await reply.json()) as T }
}

const begin = async (title: string): Promise<VerificationRecord> => {
  const body = { key: randomUUID(), who: WHO, title }
  const begun = await call<VerificationRecord>('POST', `/api/zones/${line.zone}/verifications`, body)
  return begun.body
}
const add = (id: string, entry: Omit<NewEntry, 'key' | 'who'> & { key?: string }) =>
  call<RecordEntry & { code?: string }>('POST', `/api/verifications/${id}/entries`, {
    key: randomUUID(),
    who: WHO,
    ...entry,
  })
const runout = (value: number) => ({
  kind: 'result' as const,
  test: 'fit.runout' as const,
  phase: 'as-left' as const,
  values: { runout: value },
  captures: [],
})

describe('a verification record', () => {
  it('begins with the plan of the zone, in which what does not apply says why', async () => {
    const { body: plan } = await call<VerificationPlan>('GET', `/api/zones/${line.zone}/verification-plan`)
    const tests = plan.stages.flatMap(({ tests: all }) => all)
    expect(tests).toHaveLength(38)
    expect(tests.filter(({ applies }) => !applies).every(({ reason }) => (reason ?? '').length > 5)).toBe(true)
    const record = await begin('Begun')
    expect(record).toMatchObject({ entries: [], signed: false, head: { zone: line.zone, begunBy: WHO } })
    expect(record.head.plan.stages).toHaveLength(6)
  })

  it('takes an entry once, however often it is sent, and judges it', async () => {
    const { head } = await begin('Once')
    const key = randomUUID()
    const first = await add(head.id, { ...runout(0.03), key })
    const again = await add(head.id, { ...runout(0.03), key })
    expect(first.status).toBe(200)
    expect(again.body).toEqual(first.body)
    const other = await add(head.id, { ...runout(0.09), key })
    expect(other).toMatchObject({ status: 409, body: { code: 'EVP_KEY_REUSED' } })
    expect(first.body).toMatchObject({ seq: 1, attempt: 1, result: { state: 'inside' } })
    const worse = await add(head.id, runout(0.2))
    expect(worse.body).toMatchObject({ seq: 2, attempt: 2, result: { state: 'outside' } })
  })

  it('keeps what two people add at the same moment, each in a place of its own', async () => {
    const { head } = await begin('Two people')
    const kept = await Promise.all(
      Array.from({ length: 12 }, (_, i) => add(head.id, { kind: 'note', test: null, text: `Note ${i}` } as never)),
    )
    expect(kept.map(({ body }) => body.seq).sort((a, b) => a - b)).toEqual(Array.from({ length: 12 }, (_, i) => i + 1))
    expect((await call<RecordCheck>('GET', `/api/verifications/${head.id}/check`)).body).toMatchObject({
      whole: true,
      entries: 12,
    })
  })

  it('judges a capture of the live signal out of the store, and says where one cannot be', async () => {
    const { head } = await begin('Captured')
    const capture = (fromMs: number, toMs: number) => ({
      key: randomUUID(),
      capture: 'still',
      fromMs,
      toMs,
      values: {},
    })
    const now = Date.now()
    const ask = { test: 'electric.channels', phase: 'as-left', values: {}, captures: [capture(now - 6000, now - 500)] }
    const { status, body } = await call<PreviewResult>('POST', `/api/verifications/${head.id}/preview`, ask)
    expect(status).toBe(200)
    expect(body.captures[0]?.sides.drive_side?.good).toBeGreaterThan(50)
    expect(body.result.figures.find(({ id, side }) => id === 'alive' && side === 'drive_side')?.answer).toBe('yes')
    const future = await call<{ code: string }>('POST', `/api/verifications/${head.id}/preview`, {
      ...ask,
      captures: [capture(now, now + 60_000)],
    })
    expect(future).toMatchObject({ status: 422, body: { code: 'EVP_CAPTURE' } })
    const long = await call<{ code: string }>('POST', `/api/verifications/${head.id}/preview`, {
      ...ask,
      captures: [capture(now - 3_600_000, now - 3_590_000)],
    })
    expect(long).toMatchObject({ status: 422, body: { code: 'EVP_CAPTURE' } })
  })

  it('is closed by a signature: corrections and notes are added, nothing else, and nothing is changed', async () => {
    const { head } = await begin('Signed')
    await add(head.id, runout(0.03))
    expect((await add(head.id, { kind: 'signature', name: 'A. Fitter' } as never)).status).toBe(200)
    expect(await add(head.id, runout(0.01))).toMatchObject({ status: 409, body: { code: 'EVP_RECORD_SIGNED' } })
    expect((await add(head.id, { kind: 'correction', of: 1, text: 'The dial stood at 0.02.' } as never)).status).toBe(
      200,
    )
    const { body } = await call<VerificationRecord>('GET', `/api/verifications/${head.id}`)
    expect(body.signed).toBe(true)
    expect(body.entries.map(({ kind }) => kind)).toEqual(['result', 'signature', 'correction'])
  })

  it('takes a photo by its first bytes, and shows it without a script ever running', async () => {
    const { head } = await begin('Photo')
    const png = Buffer.concat([Buffer.from('89504e470d0a1a0a', 'hex'), Buffer.alloc(64)])
    const photo = {
      kind: 'photo',
      test: 'fit.runout',
      caption: 'Dial',
      mediaType: 'image/png',
      data: png.toString('base64'),
    }
    const kept = await add(head.id, photo as never)
    expect(kept.status).toBe(200)
    const { sha256 } = kept.body as unknown as { sha256: string }
    const shown = await fetch(`${line.address}/api/verifications/${head.id}/photos/${sha256}`)
    expect(Buffer.from(await shown.arrayBuffer())).toEqual(png)
    expect(shown.headers.get('x-content-type-options')).toBe('nosniff')
    const lie = await add(head.id, { ...photo, mediaType: 'image/jpeg' } as never)
    expect(lie.status).toBe(400)
  })

  it('shows a byte that was changed in the store', async () => {
    const { head } = await begin('Changed')
    await add(head.id, runout(0.03))
    await add(head.id, { kind: 'note', test: null, text: 'as it was' } as never)
    const db = new DatabaseSync(line.storePath, { timeout: 5000 })
    const kind = `verification/${head.id}`
    db.prepare("UPDATE document SET body = replace(body, '0.03', '0.02') WHERE kind = ? AND id = '000001'").run(kind)
    db.close()
    const { body } = await call<RecordCheck>('GET', `/api/verifications/${head.id}/check`)
    expect(body.whole).toBe(false)
    expect(body.broken).toEqual([{ seq: 1, what: 'it was changed after it was written' }])
  })

  it('proves the mapping and the sign of each end by a push at the machine, captured at the wire', async () => {
    const { head } = await begin('Pushed')
    for (const act of ['stop', 'lock-out', 'open-guards', 'take-web-off']) await line.act(act)
    await new Promise((resolve) => setTimeout(resolve, 3000)) // what swings comes to rest
    const captures: CaptureAsk[] = []
    for (const side of ['drive_side', 'operator_side'] as const) {
      const fromMs = Date.now()
      await new Promise((resolve) => setTimeout(resolve, 2000))
      await line.act('push-end', { side, newtons: 60 })
      await new Promise((resolve) => setTimeout(resolve, 1800))
      await line.act('let-go')
      await new Promise((resolve) => setTimeout(resolve, 500))
      captures.push({ key: randomUUID(), capture: `push.${side}`, fromMs, toMs: Date.now(), values: {} })
    }
    const push = { kind: 'result', test: 'electric.push', phase: 'as-left', values: {}, captures } as const
    const { body } = await add(head.id, push as never)
    const result = body as Extract<RecordEntry, { kind: 'result' }>
    expect(result.result.sentence).not.toMatch(/missing/)
    for (const side of ['drive_side', 'operator_side'] as const) {
      const of = (id: string) => result.result.figures.find((one) => one.id === id && one.side === side)
      expect(of('push-mapped')?.answer, side).toBe('yes')
      expect(of('push-sign')?.value, side).toBe(1)
      const capture = result.captures.find((one) => one.capture === `push.${side}`)
      const moved = capture?.change[side]
      // 60 N along the pull of the web, seen along an arrow that does not lie far off it.
      expect(moved?.by.value, side).toBeGreaterThan(20)
      expect(moved?.by.value, side).toBeLessThan(70)
      expect(moved?.atS, side).toBeGreaterThan(1.5)
      expect(moved?.atS, side).toBeLessThan(((capture?.toMs ?? 0) - (capture?.fromMs ?? 0)) / 1000 - 1.5)
    }
    expect((await call<RecordCheck>('GET', `/api/verifications/${head.id}/check`)).body.whole).toBe(true)
  })
})

describe('the report of a record', () => {
  let earlier = ''
  let later = ''
  beforeAll(async () => {
    earlier = (await begin('Hand-over')).head.id
    await add(earlier, runout(0.02))
    later = (await begin('Return visit')).head.id
    await add(later, { ...runout(0.09), phase: 'as-found' } as never)
    await add(later, runout(0.03))
  })
  const evenpull = (...more: string[]) =>
    runEvenpull(dirname(line.gateway.configPath), 'report', line.gateway.configPath, ...more)

  it('is one page with a policy under which nothing can run, against an earlier record where one is named', async () => {
    const reply = await asked(`/api/verifications/${later}/report?paper=letter&with=${earlier}`)
    expect(reply.headers.get('content-type')).toBe('text/html; charset=utf-8')
    expect(reply.headers.get('content-security-policy')).toContain("default-src 'self'")
    const page = await reply.text()
    expect(page).toContain('Against <q translate="no">Hand-over</q>')
    expect(page).toContain('size:letter')
    expect(page).not.toContain('<script')
  })

  it('is told in the language, decimal sign and units that are asked for, under the same digest; the data stay as they are', async () => {
    const page = async (query: string) => {
      const reply = await asked(`/api/verifications/${later}/report${query}`)
      expect(reply.status).toBe(200)
      return (await reply.text()).replaceAll('\u00a0', ' ')
    }
    const german = await page('?lang=de')
    expect(german).toContain('<html lang="de">')
    expect(german).toContain('Dieser Bericht ist kein Zertifikat')
    expect(german).toContain('0,030 ± 0,010 mm')
    expect(await page('?lang=de&decimal=point')).toContain('0.030 ± 0.010 mm')
    expect(await page('?decimal=comma')).toContain('0,030 ± 0,010 mm')
    // 0.030 mm = 0.00118 in (1 in = 25.4 mm).
    expect(await page('?units=us')).toContain('0.00118 ± 0.00039 in')
    expect(await page('?lang=de&units=in')).toContain('0,00118 ± 0,00039 in')
    const { body: record } = await call<VerificationRecord>('GET', `/api/verifications/${later}`)
    for (const told of [german, await page('?units=us'), await page('')]) expect(told).toContain(record.digest)
    expect((await call<RecordCheck>('GET', `/api/verifications/${later}/check`)).body.whole).toBe(true)
  })

  it.each([
    ['lang=fr', 'there are no texts in that language: ask for en or de'],
    ['lang=', 'there are no texts in that language'],
    ['lang=de&decimal=,', 'no number is written with that sign: ask for point or comma'],
    ['units=pli', 'these are no units of a report: ask for si, us, or one of each'],
    ['units=N,lbf', 'these are no units of a report'],
  ])('is not told in another way where something else was asked for that there is not: %s', async (query, words) => {
    const { status, body } = await call<{ code: string; message: string }>(
      'GET',
      `/api/verifications/${later}/report?${query}`,
    )
    expect(status).toBe(400)
    expect(body).toMatchObject({ code: 'EVP_REQUEST_INVALID', message: expect.stringContaining(words) })
  })

  it('is data as it is kept, and compared data', async () => {
    const { body: record } = await call<VerificationRecord>('GET', `/api/verifications/${later}`)
    expect((await call('GET', `/api/verifications/${later}/report.json`)).body).toEqual(record)
    const { body } = await call<RecordComparison>('GET', `/api/verifications/${later}/compare?with=${earlier}`)
    expect(body.changed).toEqual([])
    // By hand: 0.09 − 0.02 mm, beyond √2 × 2 × 0.005 mm; 0.03 − 0.02 mm is not.
    expect(body.onReturn?.changed).toMatchObject([{ figure: 'runout', difference: { value: expect.closeTo(0.07, 9) } }])
  })

  it.each(['report', 'report.json', 'compare'])('%s of what is no record is refused', async (what) => {
    const path = `/api/verifications/${randomUUID()}/${what}${what === 'compare' ? `?with=${earlier}` : ''}`
    expect(await call('GET', path)).toMatchObject({ status: 404, body: { code: 'EVP_NOT_FOUND' } })
  })

  it('comes from the command line as well while the gateway runs: in words, as data, as a page', async () => {
    const told = await evenpull(later, '--with', earlier)
    expect(told.code).toBe(0)
    expect(told.out).toContain('as found on return, changed: Runout of the shell: Runout: 0.020 ± 0.010 mm before')
    expect(told.out).toContain('0 changed, 1 not told apart, 0 not comparable')
    const { body: record } = await call<VerificationRecord>('GET', `/api/verifications/${later}`)
    expect(JSON.parse((await evenpull(later, '--json')).out)).toEqual(record)
    const file = join(dirname(line.gateway.configPath), 'report.html')
    expect((await evenpull(later, '--html', file, '--with', earlier)).code).toBe(0)
    expect(readFileSync(file, 'utf8')).toContain('Against <q translate="no">Hand-over</q>')
  })

  it('comes from the command line in German and in other units, and a language that there is not, or that nothing is told in, is refused', async () => {
    const file = join(dirname(line.gateway.configPath), 'bericht.html')
    expect((await evenpull(later, '--html', file, '--lang', 'de')).code).toBe(0)
    const page = readFileSync(file, 'utf8').replaceAll('\u00a0', ' ')
    expect(page).toContain('<html lang="de">')
    expect(page).toContain('0,030 ± 0,010 mm')
    expect((await evenpull(later, '--html', file, '--lang', 'de', '--decimal', 'point')).code).toBe(0)
    expect(readFileSync(file, 'utf8').replaceAll('\u00a0', ' ')).toContain('0.030 ± 0.010 mm')
    expect((await evenpull(later, '--html', file, '--units', 'us')).code).toBe(0)
    expect(readFileSync(file, 'utf8').replaceAll('\u00a0', ' ')).toContain('0.00118 ± 0.00039 in')
    const text = await evenpull(later, '--units', 'in')
    expect(text).toMatchObject({ code: 0, out: expect.stringContaining('0.00118 ± 0.00039 in') })
    expect(text.out).toContain('Told in N, N/m, m/min, in, °C')
    for (const [words, ...more] of [
      ['--lang: expected', later, '--html', file, '--lang', 'fr'],
      ['--units furlong: expected si, us, or one of each', later, '--units', 'furlong'],
      ['--units is for what people read', later, '--units', 'us', '--check'],
      ['--lang and --decimal are for the page of a record', later, '--lang', 'de'],
      ['--lang and --decimal are for the page of a record', 'coater-outfeed', '--lang', 'de'],
    ] as const) {
      const told = await evenpull(...more)
      expect(told.code).not.toBe(0)
      expect(told.out + told.err).toContain('EVP_USAGE')
      expect(told.out + told.err).toContain(words)
    }
  })

  it('--check ends with 0 for what is whole, and with 1 and the entry where a byte was changed', async () => {
    const whole = await evenpull(earlier, '--check')
    expect(whole).toMatchObject({ code: 0, out: expect.stringContaining('whole, 1 entry') })
    const db = new DatabaseSync(line.storePath, { timeout: 5000 })
    db.prepare("UPDATE document SET body = replace(body, '0.02', '0.01') WHERE kind = ? AND id = '000001'").run(
      `verification/${earlier}`,
    )
    db.close()
    const changed = await evenpull(earlier, '--check')
    expect(changed.code).toBe(1)
    expect(changed.out).toContain('entry 1: it was changed after it was written')
  })
})
