import { tableFromIPC } from 'apache-arrow'
import fc from 'fast-check'
import { ParquetFile, readParquet } from 'parquet-wasm/node'
import { describe, expect, it } from 'vitest'
import { csvOf, isoOf } from '../../gateway/export/csv.ts'
import { exportFacts, exportFileName } from '../../gateway/export/export-facts.ts'
import { FACTS_KEY, parquetOf } from '../../gateway/export/parquet.ts'
import type { ExportedChunk } from '../../gateway/export/write-export.ts'
import { ZoneExports } from '../../gateway/export/zone-exports.ts'
import type { SampleBlock } from '../../gateway/recorder/recorder.ts'
import { parseRecordedTime } from '../../gateway/transports/replay/recorded-time.ts'
import { EvenpullError } from '../../shared/errors.ts'
import { collect } from './support/collect.ts'
import { madeBlocks, madeExports, madeFacts, madePlant, madeSource, START_MS, streamed } from './support/made-range.ts'

const RANGE = { zone: 'z', fromMs: START_MS, toMs: START_MS + 60_000 }
const FACTS = exportFacts(RANGE, madePlant, madeFacts, '1.2.3', START_MS + 3_600_000)

describe('an export as CSV', () => {
  it('says units, channels and revisions before the header, every sample after it, and its own end', async () => {
    const text = Buffer.from(await collect(csvOf(FACTS, streamed(madeBlocks)))).toString()
    expect(text.split('\r\n')).toEqual([
      '# Evenpull 1.2.3, samples at full rate, layout 1',
      '# plant: Example plant; line: Line 1',
      '# zone: z (z)',
      '# from 2026-01-01T00:00:00.0000Z up to 2026-01-01T00:01:00.0000Z, made 2026-01-01T01:00:00.0000Z',
      '# drive_side: force along the arrow of the drive side, N',
      '# operator_side: force along the arrow of the operator side, N',
      '# speed: web speed, m/s',
      '# config revision aaaaaaaaaaaa in force from 2026-01-01T00:00:00.0000Z: drive_side = ds, operator_side = os, speed = v',
      '# config revision bbbbbbbbbbbb in force from 2026-01-01T00:00:00.0300Z: drive_side = ds, operator_side = os',
      '# an empty cell is no good sample; the column beside it says why',
      'time,drive_side,operator_side,speed,drive_side_quality,operator_side_quality,speed_quality,revision',
      '2026-01-01T00:00:00.0000Z,100.125,-0.5,4.000000000000001,good,good,good,aaaaaaaaaaaa',
      '2026-01-01T00:00:00.0101Z,,0,4,wire-break,good,good,aaaaaaaaaaaa',
      '2026-01-01T00:00:00.0199Z,101,,4,good,missing,saturated,aaaaaaaaaaaa',
      '2026-01-01T00:00:00.0300Z,102,202,,good,good,missing,bbbbbbbbbbbb',
      '2026-01-01T00:00:00.0400Z,103,203,,good,good,missing,bbbbbbbbbbbb',
      '# end: the file is whole, 5 rows',
      '',
    ])
  })

  it('keeps names that hold line breaks on their line', async () => {
    const plant = { ...madePlant, plant: 'one\r\n2026-01-01,1,1' }
    const facts = exportFacts(RANGE, plant, madeFacts, '1.2.3', START_MS)
    const text = Buffer.from(await collect(csvOf(facts, streamed([])))).toString()
    expect(text).toContain('# plant: one 2026-01-01,1,1; line: Line 1\r\n')
  })

  it('lets no name become a formula in a spreadsheet, wherever a program may part the line into cells', async () => {
    const named = { ...madePlant, plant: '=1+1', line: 'a, "@SUM(1)";+2\t-3|＝4' }
    const facts = exportFacts(RANGE, named, madeFacts, '1.2.3', START_MS)
    const text = Buffer.from(
      await collect(csvOf({ ...facts, zoneName: '-in, out - 5' }, streamed(madeBlocks))),
    ).toString()
    const [, plant, zone] = text.split('\r\n')
    expect(plant).toBe(`# plant: '=1+1; line: a,' "@SUM(1)";'+2 -3|'＝4`)
    expect(zone).toBe(`# zone: z ('-in, out - 5)`)
    for (const cell of text.split('\r\n').flatMap((line) => (line.startsWith('#') ? line.split(/[,;|\t]/) : [])))
      expect(cell).not.toMatch(/^[\s"]*[=+\-@＝＋－＠]/)
    // Numbers stay numbers.
    expect(text).toContain(',100.125,-0.5,')
  })

  it('writes every time of the store so that it reads back to the tenth of a millisecond', () => {
    fc.assert(
      fc.property(fc.integer({ min: 0, max: 4_102_444_800_000 * 10 }), (ticks) => {
        const read = parseRecordedTime(isoOf(ticks / 10))
        expect(Math.round((read?.seconds ?? Number.NaN) * 10_000)).toBe(ticks)
      }),
    )
  })
})

describe('an export as Parquet, read by the Rust implementation of Apache Arrow', () => {
  const read = async (blocks: readonly SampleBlock[]) => {
    const bytes = await collect(parquetOf(FACTS, streamed(blocks)))
    return { bytes, table: tableFromIPC(readParquet(bytes).intoIPCStream()) }
  }

  it('holds the same samples: times in µs of UTC, null where there is no good sample, and why', async () => {
    const { table } = await read(madeBlocks)
    const column = (name: string) => [...(table.getChild(name) ?? [])]
    expect(table.schema.fields.map(({ name, nullable }) => `${name}${nullable ? '?' : ''}`)).toEqual([
      'time',
      'drive_side?',
      'operator_side?',
      'speed?',
      'drive_side_quality',
      'operator_side_quality',
      'speed_quality',
      'revision',
    ])
    expect(String(table.schema.fields[0]?.type)).toBe('Timestamp<MICROSECOND, UTC>')
    expect(column('time')).toEqual([0, 10.1, 19.9, 30, 40].map((ms) => START_MS + ms))
    expect(column('drive_side')).toEqual([100.125, null, 101, 102, 103])
    expect(column('operator_side')).toEqual([-0.5, 0, null, 202, 203])
    expect(column('speed')).toEqual([4.000000000000001, 4, 4, null, null])
    expect(column('drive_side_quality')).toEqual(['good', 'wire-break', 'good', 'good', 'good'])
    expect(column('speed_quality')).toEqual(['good', 'good', 'saturated', 'missing', 'missing'])
    expect(column('revision')).toEqual([...Array(3).fill('aaaaaaaaaaaa'), ...Array(2).fill('bbbbbbbbbbbb')])
  })

  it('says units, channels and revisions in its metadata', async () => {
    const { bytes } = await read(madeBlocks)
    const file = await ParquetFile.fromFile(new Blob([bytes as Uint8Array<ArrayBuffer>]))
    const pairs = file.metadata().fileMetadata().keyValueMetadata()
    expect(JSON.parse(pairs.get(FACTS_KEY) ?? 'null')).toEqual(JSON.parse(JSON.stringify(FACTS)))
    expect(pairs.get('unit of drive_side')).toBe('N')
    expect(pairs.get('unit of speed')).toBe('m/s')
  })

  it('keeps every row of many groups in order', async () => {
    const rows = 15_000
    const blocks = Array.from({ length: 8 }, (_, k): SampleBlock => {
      const timesMs = Float64Array.from({ length: rows }, (_, i) => START_MS + (k * rows + i) * 10)
      const first = madeBlocks[1] as SampleBlock
      const values = [0, 1].map((c) => Float64Array.from({ length: rows }, (_, i) => k * rows + i + c / 2))
      const codes = [0, 1].map(() => new Uint8Array(rows))
      return { ...first, timesMs, values, codes }
    })
    const { table } = await read(blocks)
    const operator = table.getChild('operator_side')?.toArray() as Float64Array
    expect(operator).toEqual(Float64Array.from({ length: 8 * rows }, (_, i) => i))
  })
})

describe('an export on its way', () => {
  const QUERY = { from: START_MS, to: START_MS + 40, format: 'csv', job: 'job-1234' } as const

  it('tells how far it has come, and leaves an event with who, range and rows', async () => {
    const source = madeSource()
    const exporting = madeExports(source)
    const { chunks } = await exporting.begin('z', QUERY, 'Second')
    expect(exporting.progress('job-1234')).toMatchObject({ state: 'running', rows: 0, share: 0 })
    for (let piece = 0; piece < 4; piece++) await chunks.next() // header, block, block; asked for the end: both are through
    expect(exporting.progress('job-1234')).toMatchObject({ state: 'running', rows: 3 })
    expect(exporting.progress('job-1234').share).toBeCloseTo(19.9 / 40, 4)
    await collect(chunks)
    expect(exporting.progress('job-1234')).toEqual({ job: 'job-1234', state: 'whole', rows: 5, share: 1, why: null })
    expect(source.events).toMatchObject([
      { kind: 'export', zone: 'z', who: 'Second', text: 'Samples were taken away: 5 rows of zone z as CSV.' },
    ])
  })

  it('breaks off when it is cancelled, and says so', async () => {
    const source = madeSource()
    const exporting = madeExports(source)
    const { chunks } = await exporting.begin('z', QUERY, null)
    await chunks.next()
    exporting.cancel('job-1234')
    await expect(collect(chunks)).rejects.toThrow('cancelled')
    expect(exporting.progress('job-1234').state).toBe('cancelled')
    expect(source.events[0]?.text).toBe('An export was cancelled: 0 rows of zone z as CSV.')
  })

  it('counts as cancelled when the reader goes away, also before the first byte', async () => {
    const exporting = madeExports()
    const body = await exporting.begin('z', QUERY, null)
    await body.drop()
    expect(exporting.progress('job-1234').state).toBe('cancelled')
  })

  it.each([
    ['before the first byte', 0],
    ['after some', 1],
  ])('lets go of what the file is made from when the reader goes away %s', async (_, pieces) => {
    let isHeld = false
    async function* held(): AsyncGenerator<ExportedChunk> {
      isHeld = true
      try {
        for (let rows = 1; ; rows++) yield { bytes: Uint8Array.of(10), rows, newestMs: null }
      } finally {
        isHeld = false
      }
    }
    const options = { config: () => madePlant, version: '1.2.3', nowEpochMs: () => START_MS, write: held }
    const body = await new ZoneExports({ recorder: madeSource(), ...options }).begin('z', QUERY, null)
    for (let piece = 0; piece < pieces; piece++) await body.chunks.next()
    expect(isHeld).toBe(true)
    await body.drop()
    expect(isHeld).toBe(false)
  })

  it('fails with the reason when the store does', async () => {
    async function* broken(): AsyncGenerator<SampleBlock> {
      yield madeBlocks[0] as SampleBlock
      throw new EvenpullError('EVP_RECORDER_STOPPED', 'the disk is gone')
    }
    const exporting = madeExports(madeSource(), broken)
    const { chunks } = await exporting.begin('z', QUERY, null)
    await expect(collect(chunks)).rejects.toThrow('the disk is gone')
    expect(exporting.progress('job-1234')).toMatchObject({ state: 'failed', why: 'the disk is gone' })
  })

  it('is refused where the range holds no sample, before a byte is sent', async () => {
    const exporting = madeExports(madeSource(), () => streamed<SampleBlock>([]))
    await expect(exporting.begin('z', QUERY, null)).rejects.toMatchObject({ code: 'EVP_NOT_FOUND' })
    expect(exporting.progress('job-1234')).toMatchObject({ state: 'failed', rows: 0 })
  })

  it('refuses a name that was used before, and more than four at once', async () => {
    const exporting = madeExports()
    for (const job of ['job-aaaa', 'job-bbbb', 'job-cccc', 'job-dddd'])
      await exporting.begin('z', { ...QUERY, job }, null)
    await expect(exporting.begin('z', { ...QUERY, job: 'job-aaaa' }, null)).rejects.toMatchObject({
      code: 'EVP_REQUEST_INVALID',
    })
    await expect(exporting.begin('z', QUERY, null)).rejects.toMatchObject({ code: 'EVP_TOO_MANY' })
  })
})

it('a file name says zone and range, and holds nothing a file system refuses', () => {
  expect(exportFileName(RANGE, 'csv')).toBe('z-2026-01-01T0000Z-to-2026-01-01T0001Z.csv')
})
