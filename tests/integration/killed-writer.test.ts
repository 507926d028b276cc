import { spawn } from 'node:child_process'
import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { createInterface } from 'node:readline'
import { fileURLToPath } from 'node:url'
import { build } from 'vite'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { type Database, openForReading } from '../../gateway/recorder/driver.ts'
import { StoreReader } from '../../gateway/recorder/store-reader.ts'
import { openWriter, readAll, START_MS, STEP_MS } from '../recorder/support/made-store.ts'

const KILLS = 50
/** Longest life of a writer after its first word: some batches, a seal or two. */
const LONGEST_MS = 60
/** In one file, so that a life begins in some tens of ms. */
const BUNDLE = fileURLToPath(new URL('../../.build/store-writer-process', import.meta.url))

let folder: string
beforeAll(async () => {
  folder = mkdtempSync(join(tmpdir(), 'evenpull-killed-'))
  await build({
    configFile: false,
    logLevel: 'error',
    build: {
      ssr: fileURLToPath(new URL('../recorder/support/store-writer-process.ts', import.meta.url)),
      outDir: BUNDLE,
      emptyOutDir: true,
      rollupOptions: { external: ['@photostructure/sqlite'], output: { entryFileNames: 'process.mjs' } },
    },
    ssr: { noExternal: true, external: ['@photostructure/sqlite'] },
  })
})
afterAll(() => rmSync(folder, { recursive: true, force: true }))

interface Life {
  /** What the writer found of the one before. */
  readonly foundMs: number
  readonly foundEvent: number
  /** What it said was on the disk before it was killed. */
  readonly samples: number
  readonly event: number
}

/** Starts a writer, kills it `lifeMs` after its first word of samples, and returns all that it said. */
async function killedAfter(path: string, next: number, lifeMs: number): Promise<Life> {
  const child = spawn(process.execPath, [join(BUNDLE, 'process.mjs'), path, String(next)], {
    stdio: ['ignore', 'pipe', 'inherit'],
  })
  const life = { foundMs: 0, foundEvent: 0, samples: next, event: 0 }
  let timer: NodeJS.Timeout | null = null
  for await (const line of createInterface({ input: child.stdout })) {
    const [what, first, second] = line.split(' ')
    if (what === 'found') [life.foundMs, life.foundEvent] = [Number(first), Number(second)]
    else if (what === 'samples') life.samples = Number(first)
    else if (what === 'event') life.event = Number(first)
    else throw new Error(line)
    if (what === 'samples') timer ??= setTimeout(() => child.kill('SIGKILL'), lifeMs)
  }
  if (timer === null) throw new Error('the writer ended by itself')
  return life
}

/** Numbers 0 to 1 from a small seeded generator. */
function random(seed: number): () => number {
  let state = seed
  return () => {
    state = (Math.imul(state, 1_664_525) + 1_013_904_223) >>> 0
    return state / 2 ** 32
  }
}

const soundness = (db: Database) =>
  (db.prepare('PRAGMA integrity_check').get() as { integrity_check: string }).integrity_check

describe(`a writer that is killed without warning, ${KILLS} times`, () => {
  it('has lost nothing that it said was on the disk, doubles nothing, and leaves a file that is sound', async () => {
    const path = join(folder, 'line.sqlite')
    const within = random(4711)
    let next = 0
    let event = 0
    for (let kill = 0; kill < KILLS; kill++) {
      const life = await killedAfter(path, next, within() * LONGEST_MS)
      if (kill > 0) {
        // Told before the kill; more may have come to the disk than there was time to say.
        expect(life.foundMs).toBeGreaterThanOrEqual(START_MS + (next - 1) * STEP_MS)
        expect(life.foundEvent).toBeGreaterThanOrEqual(event)
      }
      const db = openForReading(path)
      if (kill % 10 === 0) expect(soundness(db)).toBe('ok')
      const reader = new StoreReader(path)
      // The next one goes on after what is there, as the gateway's clock does.
      const blocks = readAll(reader, START_MS + (next - 1) * STEP_MS, START_MS + 1e9)
      next = 1 + Math.round(((blocks.at(-1)?.timesMs.at(-1) ?? 0) - START_MS) / STEP_MS)
      expect(next).toBeGreaterThanOrEqual(life.samples)
      event = life.event
      reader.close()
      db.close()
    }
    const writer = openWriter(path)
    writer.seal()
    const reader = new StoreReader(path)
    const blocks = readAll(reader, START_MS, START_MS + 1e9)
    const times = blocks.flatMap(({ timesMs }) => [...timesMs])
    expect(times).toEqual(Array.from({ length: next }, (_, i) => START_MS + i * STEP_MS))
    for (const side of [0, 1])
      expect(blocks.flatMap(({ raws }) => [...(raws[side] ?? [])])).toEqual(times.map((_, i) => i % 30_000))
    const db = openForReading(path)
    expect(soundness(db)).toBe('ok')
    const rolledUp = db.prepare('SELECT level, sum(n) AS n FROM rollup GROUP BY level ORDER BY level').all()
    expect(rolledUp).toEqual([10, 60, 600, 3600].map((level) => ({ level, n: 2 * next })))
    const ids = db.prepare('SELECT id, text FROM event ORDER BY id').all() as { id: number; text: string }[]
    expect(ids.map(({ id }) => id)).toEqual(ids.map((_, i) => i + 1))
    expect(ids.every(({ id, text }) => text === String(id))).toBe(true)
    db.close()
    reader.close()
    writer.close()
  }, 120_000)
})
