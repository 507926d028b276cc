import { truncateSync } from 'node:fs'
import { appendFile, mkdtemp, rm, truncate, writeFile } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterEach, beforeEach, describe, expect, test } from 'vitest'
import { systemClock } from '../../gateway/clock.ts'
import { planRequests } from '../../gateway/poller/plan.ts'
import { startPolling } from '../../gateway/poller/polling.ts'
import type { PlannedRequest, Polling } from '../../gateway/poller/types.ts'
import type { ReplayRow } from '../../gateway/transports/line.ts'
import { CsvRecording } from '../../gateway/transports/replay/csv-recording.ts'
import { EvenpullError } from '../../shared/errors.ts'
import type { RawReading } from '../../shared/sample.ts'
import { type ConfigInput, configSchema } from '../../shared/schemas/config.ts'
import type { DeviceHealth } from '../../shared/schemas/health.ts'
import { until } from './recording-server.ts'

let folder: string
const pollings: Polling[] = []
beforeEach(async () => {
  folder = await mkdtemp(join(tmpdir(), 'evenpull-replay-'))
})
afterEach(async () => {
  await Promise.all(pollings.splice(0).map((polling) => polling.stop()))
  await rm(folder, { recursive: true, force: true })
})

async function csv(text: string | Buffer): Promise<string> {
  const path = join(folder, 'recording.csv')
  await writeFile(path, text)
  return path
}

function columns(...sources: string[]): PlannedRequest {
  const items = sources.map((source, offset) => ({ channelId: source, offset, words: 1 as const, source }))
  return { unitId: null, function: null, address: null, count: items.length, items }
}

const sides = columns('drive_side', 'operator_side')

async function rowsOf(text: string | Buffer, request = sides): Promise<ReplayRow[]> {
  const rows: ReplayRow[] = []
  for await (const row of new CsvRecording(await csv(text)).rows(request)) rows.push(row)
  return rows
}

async function refusal(text: string | Buffer, request = sides): Promise<EvenpullError> {
  const error = await rowsOf(text, request).then(
    (rows) => `${rows.length} rows`,
    (thrown: unknown) => thrown,
  )
  if (error instanceof EvenpullError) return error
  throw new Error(`expected an EvenpullError, got ${String(error)}`)
}

const HEADER = 'time,drive_side,operator_side'

describe('a recording', () => {
  test('gives the columns asked for, by name and in any order', async () => {
    const text = `speed,operator_side,time,drive_side\n2.5,11,0,10\n2.6,13,0.1,12\n`
    expect(await rowsOf(text, columns('drive_side', 'speed', 'operator_side'))).toEqual([
      { seconds: 0, values: [10, 2.5, 11] },
      { seconds: 0.1, values: [12, 2.6, 13] },
    ])
  })

  test('an empty cell is null, never 0, and a cell of blanks too; NaN is not a number', async () => {
    const [row] = await rowsOf(`${HEADER},speed\n0,,  ,NaN\n`, columns('drive_side', 'operator_side', 'speed'))
    expect(row?.values).toEqual([null, null, Number.NaN])
  })

  test('may have a byte-order mark, CRLF, quoted cells, blank lines and no line end at the end', async () => {
    const text = `\uFEFF"time","drive_side",operator_side\r\n"0","1.5",-2\r\n\r\n1,+.5,1e2`
    expect(await rowsOf(text)).toEqual([
      { seconds: 0, values: [1.5, -2] },
      { seconds: 1, values: [0.5, 100] },
    ])
  })

  test('is read as it is played: a file of 60 MB cut short after the first row ends early', async () => {
    const note = 'x'.repeat(600)
    const path = await csv(`${HEADER},note\n`)
    for (let part = 0; part < 10; part++)
      await appendFile(path, Array.from({ length: 10_000 }, (_, i) => `${part * 10_000 + i},1,2,${note}\n`).join(''))
    const rows = new CsvRecording(path).rows(sides)
    expect((await rows.next()).value).toEqual({ seconds: 0, values: [1, 2] })
    await truncate(path, 1_000_000)
    let read = 1
    try {
      for await (const _row of rows) read++
    } catch (error) {
      // The cut leaves half a row behind.
      expect(error).toMatchObject({ code: 'EVP_REPLAY_FORMAT' })
    }
    expect(read).toBeLessThan(2000)
  })
})

describe('a recording is refused', () => {
  test.each([
    ['empty file', '', 1, 'the file is empty'],
    ['header alone', `${HEADER}\n`, 2, 'no row under the header'],
    ['no time column', 'drive_side,operator_side\n1,2\n', 1, 'no column "time"'],
    [
      'column that a channel asks for is missing',
      'time,drive_side\n0,1\n',
      1,
      'no column "operator_side"; there are time, drive_side',
    ],
    ['column twice', 'time,drive_side,drive_side\n0,1,2\n', 1, '"drive_side" is there twice'],
    ['semicolons', 'time;drive_side;operator_side\n0;1,5;2\n', 1, 'not parted by commas'],
    ['tabs', 'time\tdrive_side\toperator_side\n0\t1\t2\n', 1, 'not parted by commas'],
    ['quoted decimal comma', `${HEADER}\n0,"1,5",2\n`, 2, 'drive_side "1,5": a decimal comma; use a point'],
    [
      'bare decimal comma',
      `${HEADER}\n0,1,5,2,0\n`,
      2,
      '5 cells where the header has 3 (a decimal comma? use a point)',
    ],
    ['too few cells', `${HEADER}\n0,1,2\n1,1\n`, 3, '2 cells where the header has 3'],
    ['word in a cell', `${HEADER}\n0,1,2\n1,n/a,2\n`, 3, 'drive_side "n/a": expected a number or nothing'],
    ['hexadecimal', `${HEADER}\n0,0x10,2\n`, 2, 'expected a number'],
    ['infinity', `${HEADER}\n0,1e999,2\n`, 2, 'expected a number'],
    ['time missing', `${HEADER}\n,1,2\n`, 2, 'time ""'],
    ['time twice', `${HEADER}\n0,1,2\n0.0,1,2\n`, 3, 'is the same as that of the row above, "0"'],
    ['time backwards', `${HEADER}\n5,1,2\n4.9,1,2\n`, 3, 'time "4.9" is before that of the row above, "5"'],
    ['time notation changes', `${HEADER}\n5,1,2\n2024-05-01T06:00:00Z,1,2\n`, 3, 'the rows before are seconds'],
    ['open quote', `${HEADER}\n0,"1,2\n`, 2, 'a quoted cell is not closed properly'],
    ['endless line', `${HEADER}\n0,${'1'.repeat(70_000)}`, 2, 'longer than 65536 characters'],
  ])('%s', async (_what, text, line, sentence) => {
    const error = await refusal(text)
    expect(error.code).toBe('EVP_REPLAY_FORMAT')
    expect(error.place?.line).toBe(line)
    expect(error.message, 'the place is told beside, not in the sentence').not.toMatch(/^\S+, line/)
    expect(error.message).toContain(sentence)
  })

  test('with the column of the cell', async () => {
    expect((await refusal(`${HEADER}\n0.00,12.5,oops\n`)).place).toMatchObject({ line: 2, column: 11 })
  })

  test('when it is UTF-16', async () => {
    const error = await refusal(Buffer.from(`\uFEFF${HEADER}\n0,1,2\n`, 'utf16le'))
    expect(error.message).toContain('not UTF-8')
  })

  test('when it cannot be opened, by another code that names the file', async () => {
    const rows = new CsvRecording(join(folder, 'nowhere.csv')).rows(sides)
    await expect(rows.next()).rejects.toMatchObject({
      code: 'EVP_REPLAY_FILE',
      message: expect.stringContaining('nowhere.csv cannot be read: there is no such file'),
    })
  })

  test('at its line after the rows before it were handed over', async () => {
    const rows = new CsvRecording(await csv(`${HEADER}\n0,1,2\n1,1,2\n1,1,2\n`)).rows(sides)
    expect((await rows.next()).value).toEqual({ seconds: 0, values: [1, 2] })
    expect((await rows.next()).value).toEqual({ seconds: 1, values: [1, 2] })
    await expect(rows.next()).rejects.toMatchObject({ place: { line: 4, column: 1 } })
  })
})

describe('a replay', () => {
  type ReplayInput = Extract<ConfigInput['devices'][number], { transport: 'replay' }>

  function play(
    device: Omit<ReplayInput, 'id' | 'transport'>,
    onBatch: (batch: readonly RawReading[]) => void = () => {},
  ) {
    const readings: RawReading[] = []
    const states: string[] = []
    let health: DeviceHealth | undefined
    const clock = systemClock()
    const polling = startPolling(
      {
        readings: (batch) => {
          readings.push(...batch)
          onBatch(batch)
        },
        health: ([device]) => {
          health = device
          if (device !== undefined && states.at(-1) !== device.state) states.push(device.state)
        },
        failed: (error) => {
          throw error
        },
      },
      clock,
    )
    pollings.push(polling)
    const startMs = clock.now()
    polling.apply(
      planRequests(
        configSchema.parse({
          version: 1,
          devices: [{ id: 'tape', transport: 'replay', ...device }],
          channels: ['drive_side', 'operator_side'].map((column) => ({ id: column, device: 'tape', column })),
          zones: [{ id: 'z', cells: { drive_side: 'drive_side', operator_side: 'operator_side' } }],
        } satisfies ConfigInput),
      ),
    )
    return { polling, readings, states, startMs, clock, health: () => health }
  }

  const even = (rows: number, stepSeconds: number) =>
    `${HEADER}\n${Array.from({ length: rows }, (_, i) => `${(i * stepSeconds).toFixed(3)},${i},${2 * i}\n`).join('')}`

  test('hands every row over at its time, then one gap, and ends', async () => {
    const file = await csv(even(20, 0.01))
    const { readings, states, startMs, clock, health } = play({ file, speed: 1 })
    await until('the end', () => states.at(-1) === 'ended')
    const answers = readings.filter((reading) => reading.kind === 'answer')
    expect(answers.map((reading) => reading.words)).toEqual(Array.from({ length: 20 }, (_, i) => [i, 2 * i]))
    for (const [i, { tMs, halfWidthMs }] of answers.entries()) {
      expect(tMs - (answers[0]?.tMs ?? 0)).toBeCloseTo(10 * i, 6)
      expect(tMs).toBeGreaterThan(startMs)
      expect(tMs).toBeLessThan(clock.now())
      expect(halfWidthMs).toBe(0)
    }
    const [last] = readings.slice(-1)
    expect(last).toMatchObject({ kind: 'gap', code: 'missing', errorCode: 'EVP_REPLAY_ENDED' })
    expect((last?.tMs ?? 0) - (answers.at(-1)?.tMs ?? 0)).toBeCloseTo(10, 6)
    expect(health()).toMatchObject({ where: file, answers: 20, lastError: { code: 'EVP_REPLAY_ENDED' } })
  })

  test('a row is never handed over before its time', async () => {
    const late: number[] = []
    const clock = systemClock()
    const { states } = play({ file: await csv(even(30, 0.02)), speed: 1 }, (batch) => {
      for (const reading of batch) if (reading.kind === 'answer') late.push(clock.now() - reading.tMs)
    })
    await until('the end', () => states.at(-1) === 'ended')
    expect(late).toHaveLength(30)
    expect(Math.min(...late)).toBeGreaterThanOrEqual(0)
  })

  test('at 10× rows keep their recorded spacing and come in a tenth of the time', async () => {
    const { readings, states, clock } = play({ file: await csv(even(5, 0.5)), speed: 10 })
    await until('the end', () => states.at(-1) === 'ended')
    const firstMs = readings[0]?.tMs ?? Number.NaN
    expect((readings[1]?.tMs ?? 0) - firstMs).toBeCloseTo(500, 6)
    expect((readings[4]?.tMs ?? 0) - firstMs).toBeCloseTo(2000, 6)
    expect(clock.now() - firstMs, 'not before a tenth of its time').toBeGreaterThanOrEqual(200)
  })

  test('at max a shift of 60 000 rows comes at once, whole, in order, at its recorded spacing', async () => {
    const { readings, states, startMs, clock } = play({ file: await csv(even(60_000, 0.1)), speed: 'max' })
    await until('the end', () => states.at(-1) === 'ended')
    expect(readings).toHaveLength(60_001)
    for (let i = 1; i < readings.length; i++)
      if ((readings[i]?.tMs ?? 0) - (readings[i - 1]?.tMs ?? 0) < 99.9) throw new Error(`row ${i} is out of its time`)
    // 100 minutes of recording.
    expect(clock.now() - startMs).toBeLessThan(60_000)
  })

  test('at max the file waits for a gateway that is slow', async () => {
    const note = 'x'.repeat(600)
    const file = await csv(`${HEADER},note\n${Array.from({ length: 20_000 }, (_, i) => `${i},1,2,${note}\n`).join('')}`)
    let seen = 0
    let largest = 0
    const { states } = play({ file, speed: 'max' }, (batch) => {
      if (seen === 0) {
        // Long enough to play the whole file, were there nothing to wait for. What has not been
        // read by then is cut off: the rows that still come tell how far the file had run ahead.
        const end = performance.now() + 1500
        while (performance.now() < end);
        truncateSync(file, 0)
      }
      seen += batch.length
      largest = Math.max(largest, batch.length)
    })
    await until('the end', () => ['ended', 'lost'].includes(states.at(-1) ?? ''))
    expect(largest).toBeLessThanOrEqual(512)
    expect(seen).toBeGreaterThan(2000)
    // 2048 under way, and what the file reader holds (some 64 kB pieces of about 100 rows).
    expect(seen).toBeLessThan(3000)
  })

  test('repeats without a break when it is told to', async () => {
    const { readings, states } = play({ file: await csv(even(5, 0.01)), speed: 'max', repeat: true })
    await until('many passes', () => readings.length >= 5000)
    for (let i = 1; i < 5000; i++) {
      expect((readings[i]?.tMs ?? 0) - (readings[i - 1]?.tMs ?? 0)).toBeCloseTo(10, 4)
      if (i % 5 === 0) expect(readings[i]).toMatchObject({ words: [0, 0] })
    }
    expect(states).not.toContain('ended')
  })

  test('a file that breaks off is lost from there on, with the line', async () => {
    const { readings, states, health } = play({ file: await csv(`${HEADER}\n0,1,2\n0.01,3,x\n`) })
    await until('lost', () => states.at(-1) === 'lost')
    expect(readings[0]).toMatchObject({ kind: 'answer', words: [1, 2] })
    expect(readings[1]).toMatchObject({ kind: 'gap', code: 'device-error', errorCode: 'EVP_REPLAY_FORMAT' })
    expect(health()?.lastError?.message).toContain('line 3: operator_side "x"')
  })

  test('a file that is not there is lost at once', async () => {
    const { readings, states, health } = play({ file: join(folder, 'nowhere.csv') })
    await until('lost', () => states.at(-1) === 'lost')
    expect(readings).toMatchObject([{ kind: 'gap', code: 'no-answer', errorCode: 'EVP_REPLAY_FILE' }])
    expect(health()).toMatchObject({ answers: 0, achievedHz: null, lastAnswerMs: null })
  })
})
