import { spawnSync } from 'node:child_process'
import { closeSync, openSync, readFileSync, rmSync, statSync, writeFileSync, writeSync } from 'node:fs'
import { join } from 'node:path'
import { DatabaseSync } from '@photostructure/sqlite'
import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import { StoreReader } from '../../gateway/recorder/store-reader.ts'
import { titled } from '../http/support/python-peer.ts'
import { countsOf, madeColumn, madeFolder, openWriter, START_MS } from './support/made-store.ts'

let folder: ReturnType<typeof madeFolder>
let path: string
beforeEach(() => {
  folder = madeFolder()
  path = join(folder.path, 'line.sqlite')
})
afterEach(() => folder.remove())

/** Good samples of the drive side that the store has in full, and in its roll-ups. */
function counts(to = 3600): { samples: number; rolledUp: number } {
  const reader = new StoreReader(path)
  const sum = (points: number) =>
    (reader.history('z', START_MS, START_MS + to * 1000, points)?.series.drive_side?.n ?? []).reduce((a, b) => a + b, 0)
  const result = { samples: sum(5000), rolledUp: sum(Math.floor(to / 10)) }
  reader.close()
  return result
}

const tenSamples = (second: number) =>
  madeColumn(
    'ds',
    START_MS + second * 1000,
    100,
    Array.from({ length: 10 }, (_, i) => countsOf(second + i / 8)),
  )

describe('a disk that runs full', () => {
  it('costs the single samples first, never the roll-ups, and recording is whole again when there is space', () => {
    let free = 100e6
    const writer = openWriter(path, { minFreeBytes: 10e6, freeBytes: () => free })
    expect(writer.samples([tenSamples(0)]).state).toBe('running')
    free = 9e6
    expect(writer.seal().state).toBe('roll-ups-only')
    expect(counts()).toEqual({ samples: 10, rolledUp: 10 })
    writer.samples([tenSamples(1)])
    free = 11e6 // enough, but not clearly
    expect(writer.seal()).toMatchObject({ state: 'roll-ups-only', lostSamples: 10 })
    writer.samples([tenSamples(2)])
    free = 100e6
    expect(writer.seal()).toMatchObject({ state: 'running', lostSamples: 20, fault: null })
    writer.samples([tenSamples(3)])
    expect(writer.seal().state).toBe('running')
    expect(counts()).toEqual({ samples: 20, rolledUp: 40 })
    writer.close()
  })

  const mount = (size: string) =>
    spawnSync('mount', ['-t', 'tmpfs', '-o', `size=${size}`, 'tmpfs', folder.path]).status === 0
  const unmount = () => spawnSync('umount', ['-l', folder.path])
  const mayMount = process.getuid?.() === 0 && spawnSync('mount', ['--version']).status === 0
  const why = mayMount ? null : 'skipped: only root may mount a small disk'

  it.skipIf(why !== null)(
    titled('stops it when nothing can be written, holds what comes, and writes all of it when there is space', why),
    ({ skip }) => {
      if (!mount('4m')) skip('a small disk could not be mounted')
      const filler = join(folder.path, 'filler')
      try {
        const writer = openWriter(path, { minFreeBytes: 1, freeBytes: () => 1e12 })
        writer.samples([tenSamples(0)])
        writer.seal()
        fill(filler)
        let second = 1
        let status = writer.status()
        for (; status.state === 'running' && second < 3000; second++) status = writer.samples([tenSamples(second)])
        expect(status).toMatchObject({ state: 'stopped', fault: { kind: 'full' }, lostSamples: 0 })
        for (let i = 0; i < 20; i++) writer.samples([tenSamples(second++)])
        expect(writer.seal()).toMatchObject({ state: 'stopped' })
        expect(() =>
          writer.events([
            { id: 1, timeMs: 1, kind: 'note', zone: null, who: null, text: '', data: { big: 'x'.repeat(1e6) } },
          ]),
        ).toThrow()
        rmSync(filler)
        expect(writer.seal()).toMatchObject({ state: 'running', lostSamples: 0, fault: null })
        writer.samples([tenSamples(second++)])
        expect(counts()).toEqual({ samples: 10 * second, rolledUp: 10 * second })
        writer.close()
      } finally {
        unmount()
      }
    },
  )

  it('that stays full longer than memory holds out costs nothing that was on the disk already', () => {
    const writer = openWriter(path)
    writer.samples([tenSamples(0)])
    const db = new DatabaseSync(path)
    const tables = ['tail', 'chunk']
    for (const table of tables)
      db.exec(`CREATE TRIGGER no_${table} BEFORE INSERT ON ${table} BEGIN SELECT RAISE(ABORT, 'no space'); END`)
    const many = madeColumn('ds', START_MS + 10_000, 0.1, new Array(1_000_001).fill(countsOf(1)))
    expect(writer.samples([many]).state).toBe('stopped')
    const later = madeColumn('ds', START_MS + 200_000, 0.1, new Array(1_000_001).fill(countsOf(1)))
    expect(writer.samples([later])).toMatchObject({ state: 'stopped', lostSamples: 2_000_002 })
    for (const table of tables) db.exec(`DROP TRIGGER no_${table}`)
    db.close()
    expect(writer.seal()).toMatchObject({ state: 'running', lostSamples: 2_000_002 })
    writer.samples([tenSamples(400)])
    expect(counts()).toEqual({ samples: 20, rolledUp: 20 })
    writer.close()
  }, 60_000)

  /** Leaves not a byte. */
  function fill(file: string): void {
    const handle = openSync(file, 'w')
    try {
      for (let size = 1 << 20; size >= 1; size = size >> 1)
        try {
          for (;;) if (writeSync(handle, Buffer.alloc(size)) < size) break
        } catch (error) {
          expect((error as NodeJS.ErrnoException).code).toBe('ENOSPC')
        }
    } finally {
      closeSync(handle)
    }
  }
})

describe('a file that was damaged', () => {
  it('is set aside whole, and a new store is begun', () => {
    const writer = openWriter(path)
    for (let i = 0; i < 50; i++) writer.samples([tenSamples(i)])
    writer.seal()
    writer.close()
    const bytes = readFileSync(path)
    bytes.fill(0xff, 4096)
    writeFileSync(path, bytes)
    const after = openWriter(path)
    const { setAside } = after.found
    expect(statSync(setAside ?? '').size).toBe(bytes.length)
    expect(after.samples([tenSamples(100)]).state).toBe('running')
    expect(counts()).toEqual({ samples: 10, rolledUp: 10 })
    after.close()
  })
})
