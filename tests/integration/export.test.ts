import { execFileSync } from 'node:child_process'
import { existsSync, mkdtempSync, readdirSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { tableFromIPC } from 'apache-arrow'
import { readParquet } from 'parquet-wasm/node'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { stringify } from 'yaml'
import { CsvRecording } from '../../gateway/transports/replay/csv-recording.ts'
import type { ConfigInput } from '../../shared/schemas/config.ts'
import { eventList } from '../../shared/schemas/events.ts'
import { exportProgress } from '../../shared/schemas/export.ts'
import { zoneHistory } from '../../shared/schemas/history.ts'
import { shiftSummary } from '../../shared/schemas/shift-summary.ts'
import { runEvenpull } from './support/command.ts'
import { type GatewayProcess, startGatewayProcess, untilAnswer } from './support/gateway.ts'
import { patientFetch } from './support/patient-fetch.ts'

const ROWS = 900
/** Counts of a 16-bit converter, so that what was written must come back bit for bit. */
const counts = (row: number, phase: number) => Math.round(12_000 + 3000 * Math.sin(row / 40 + phase))
/** Each 100th row has lost its operator side, and three seconds of rows on end. */
const isLost = (row: number) => row % 100 === 99 || (row >= 510 && row < 540)

let folder: string
const evenpull = (...args: string[]) => runEvenpull(folder, ...args)
let config: ConfigInput
let gateway: GatewayProcess
let range: { from: number; to: number }

beforeAll(async () => {
  folder = mkdtempSync(join(tmpdir(), 'evenpull-export-'))
  const rows = Array.from({ length: ROWS }, (_, i) => `${i / 10},${counts(i, 0)},${isLost(i) ? '' : counts(i, 1)}`)
  writeFileSync(join(folder, 'shift.csv'), `time,a,b\n${rows.join('\n')}\n`)
  const cell = (id: string, column: string) => ({
    id,
    device: 'rec',
    column,
    electrical: { unit: 'mA' as const, counts: [0, 20_000] as [number, number], reads: [0, 20] as [number, number] },
    force: { zero: 4, gain: 31.25, capacity: 500 },
    quality: { stuck_after_s: 0 },
  })
  config = {
    version: 1,
    plant: 'Example plant',
    recorder: { folder: join(folder, 'kept'), min_free_mb: 1 },
    devices: [{ id: 'rec', transport: 'replay', file: join(folder, 'shift.csv'), speed: 'max', rate_hz: 10 }],
    channels: [cell('ds', 'a'), cell('os', 'b')],
    zones: [{ id: 'z', cells: { drive_side: 'ds', operator_side: 'os' } }],
  }
  gateway = await startGatewayProcess(config)
  await untilAnswer(
    async () => (await gateway.health()).devices[0]?.state === 'ended',
    (ended) => ended,
  )
  const { keptFromMs, keptToMs } = zoneHistory.parse(
    await gateway.get('/api/zones/z/history?from=0&to=9000000000000&points=2'),
  )
  range = { from: keptFromMs ?? Number.NaN, to: (keptToMs ?? Number.NaN) + 1 }
})
afterAll(async () => {
  await gateway?.stop()
  rmSync(folder, { recursive: true, force: true })
})

const query = (format: string, more = '') =>
  `/api/zones/z/export?from=${range.from}&to=${range.to}&format=${format}${more}`
const forces = (phase: number) =>
  Array.from({ length: ROWS }, (_, i) =>
    phase === 1 && isLost(i) ? null : ((counts(i, phase) / 20_000) * 20 - 4) * 31.25,
  )

/** Parsed by Python's own csv module, remarks left out as it is told to. */
function readByPython(file: string): { header: string[]; rows: string[][] } {
  const code = `import csv, json, sys
rows = list(csv.reader(line for line in open(sys.argv[1], newline='') if not line.startswith('#')))
print(json.dumps({'header': rows[0], 'rows': rows[1:]}))`
  return JSON.parse(execFileSync('python3', ['-c', code, file], { encoding: 'utf8', maxBuffer: 1 << 28 }))
}

const numbers = (rows: string[][], column: number) =>
  rows.map((row) => (row[column] === '' ? null : Number(row[column])))

function expectForces(measured: readonly (number | null)[], phase: number): void {
  expect(measured.length).toBe(ROWS)
  for (const [i, force] of forces(phase).entries()) {
    if (force === null) expect(measured[i], `row ${i}`).toBeNull()
    else expect(measured[i], `row ${i}`).toBeCloseTo(force, 9)
  }
}

describe('the recorded samples of a range', () => {
  it('leave as CSV that an independent reader finds whole: every sample, a lost one empty with its reason', async () => {
    const reply = await patientFetch(gateway.address + query('csv', '&job=csv-0001'))
    expect(reply.headers.get('content-disposition')).toMatch(/^attachment; filename="z-.*\.csv"$/)
    const file = join(folder, 'taken.csv')
    writeFileSync(file, Buffer.from(await reply.arrayBuffer()))
    const { header, rows: all } = readByPython(file)
    // Before the first row and after the last stands why there is none.
    const rows = all.filter((row) => row[3] === 'good')
    expect(header).toEqual([
      'time',
      'drive_side',
      'operator_side',
      'drive_side_quality',
      'operator_side_quality',
      'revision',
    ])
    expectForces(numbers(rows, 1), 0)
    expectForces(numbers(rows, 2), 1)
    expect(rows.map((row) => row[4])).toEqual(Array.from({ length: ROWS }, (_, i) => (isLost(i) ? 'missing' : 'good')))
    expect(exportProgress.parse(await gateway.get('/api/exports/csv-0001'))).toMatchObject({
      state: 'whole',
      rows: all.length,
    })
    const { events } = eventList.parse(await gateway.get('/api/events?kind=export&limit=10'))
    expect(events[0]?.text).toBe(`Samples were taken away: ${all.length} rows of zone z as CSV.`)
  })

  it('leave as Parquet that another implementation reads', async () => {
    const reply = await patientFetch(gateway.address + query('parquet'))
    const table = tableFromIPC(readParquet(new Uint8Array(await reply.arrayBuffer())).intoIPCStream())
    const isRow = [...(table.getChild('drive_side_quality') ?? [])].map((code) => code === 'good')
    const column = (name: string) => [...(table.getChild(name) ?? [])].filter((_, i) => isRow[i])
    expectForces(column('drive_side'), 0)
    expectForces(column('operator_side'), 1)
  })

  it('are refused where there is none, and for a zone that never was', async () => {
    for (const path of ['/api/zones/z/export?from=0&to=1000', query('csv').replace('zones/z', 'zones/none')]) {
      const reply = await patientFetch(gateway.address + path)
      expect([reply.status, (await reply.json()).code]).toEqual([404, 'EVP_NOT_FOUND'])
    }
  })

  it('are written by the command while the gateway runs, and what it writes can be played again', async () => {
    const configFile = gateway.configPath
    const taken = join(folder, 'by-command.csv')
    const iso = (ms: number) => new Date(ms).toISOString()
    const range_ = ['--from', iso(range.from), '--to', iso(range.to + 1)]
    const { code, out } = await evenpull('export', configFile, 'z', ...range_, '--out', taken, '--json')
    expect([code, JSON.parse(out)]).toMatchObject([0, { ok: true, file: taken, format: 'csv' }])
    expect(JSON.parse(out).rows).toBe(readByPython(taken).rows.length)
    const items = [{ channelId: 'a', offset: 0, words: 1 as const, source: 'drive_side' }]
    const played: (number | null)[] = []
    const request = { unitId: null, function: null, address: null, count: 1, items }
    for await (const { values } of new CsvRecording(taken).rows(request)) played.push(values[0] ?? null)
    const forcesPlayed = played.filter((value) => value !== null)
    expectForces(forcesPlayed, 0)
  })

  it('are put together as a report by the command: the same facts as the gateway tells, as JSON and as text', async () => {
    const iso = (ms: number) => new Date(ms).toISOString()
    const asked = ['report', gateway.configPath, 'z', '--from', iso(range.from), '--to', iso(range.to)]
    const { code, out } = await evenpull(...asked, '--json')
    expect(code).toBe(0)
    const { madeMs: _, recording, ...byCommand } = shiftSummary.parse(JSON.parse(out))
    const told = await gateway.get(`/api/zones/z/summary?from=${Math.floor(range.from)}&to=${Math.floor(range.to)}`)
    const { madeMs: __, recording: ___, ...byGateway } = shiftSummary.parse(told)
    expect({ ...byCommand, toMs: 0, fromMs: 0 }).toEqual({ ...byGateway, toMs: 0, fromMs: 0 })
    // A single lost sample is no gap worth a line; three seconds of one side are.
    const oneSided = recording.gaps.filter(({ sides }) => sides.length === 1)
    expect(oneSided.map(({ sides, fromMs, toMs }) => [...sides, Math.round((toMs - fromMs) / 1000)])).toEqual([
      ['operator_side', 3],
    ])
    const text = (await evenpull(...asked)).out
    for (const part of ['Example plant', 'what has moved', 'drift of side difference', 'unknown:', 'not a certificate'])
      expect(text).toContain(part)
  })

  it('leave no part of a file behind when the command cannot write', async () => {
    const { code, out } = await evenpull(
      'export',
      gateway.configPath,
      'z',
      '--last',
      '1d',
      '--out',
      '/proc/none.csv',
      '--json',
    )
    expect([code, JSON.parse(out).ok]).toEqual([1, false])
    expect(readdirSync(folder).filter((name) => name.endsWith('.part'))).toEqual([])
  })

  it('the command says which zones there are, and what a range looks like', async () => {
    expect((await evenpull('export', gateway.configPath, 'zz', '--last', '1h')).err).toContain(
      'no zone "zz" was recorded',
    )
    const misspelt = await evenpull('export', gateway.configPath, 'z', '--last', '8 hours')
    expect([misspelt.code, misspelt.err]).toEqual([2, expect.stringContaining('8h')])
    const other = join(folder, 'other.yaml')
    writeFileSync(other, stringify(config))
    expect((await evenpull('export', other, 'z', '--last', '1h')).err).toContain('nothing was recorded yet')
    expect(existsSync(join(folder, 'kept', 'other.yaml.sqlite'))).toBe(false)
  })
})
