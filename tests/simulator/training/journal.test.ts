import { appendFileSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { open } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import { Journal } from '../../../simulator/training/journal.ts'
import type { JournalEntry } from '../../../simulator/training/journal-lines.ts'
import { setPlan } from '../../../simulator/training/plans.ts'

const hint = (atMs: number): JournalEntry => ({ kind: 'hint', atMs })
const plan = setPlan('T', 'install', [])

let folder: string
let said: string[]
const journal = () => new Journal(join(folder, 'line.yaml'), (line) => said.push(line))
const names = () => readdirSync(join(folder, '.evenpull'))
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'evenpull-journal-'))
  said = []
})
afterEach(() => rmSync(folder, { recursive: true, force: true }))

describe('a journal on the disk', () => {
  it('has each entry in it, in its order, when keeping it is done; kept at once too', async () => {
    const kept = journal()
    await kept.begin({ plan, entries: [] })
    await Promise.all([1, 2, 3].map((atMs) => kept.keep(hint(atMs))))
    // Another reader, while it is open: nothing waits in memory.
    expect(await journal().left(0)).toEqual({ plan, entries: [hint(1), hint(2), hint(3)] })
    await kept.close()
  })

  it('goes on behind what was kept, without half a line that a crash left', async () => {
    const first = journal()
    await first.begin({ plan, entries: [hint(1)] })
    await first.close()
    appendFileSync(join(folder, '.evenpull', names()[0] ?? ''), '{"kind":"hi')
    const left = await journal().left(0)
    const second = journal()
    await second.begin(left ?? { plan, entries: [] })
    await second.keep(hint(2))
    await second.close()
    expect((await journal().left(0))?.entries).toEqual([hint(1), hint(2)])
  })

  it('on a disk that is full for a while lacks nothing afterwards, and says both; meanwhile it ends before the gap', async () => {
    let room = Number.POSITIVE_INFINITY
    const kept = new Journal(
      join(folder, 'line.yaml'),
      (line) => said.push(line),
      async (path) => {
        const file = await open(path, 'r+')
        return {
          async write(bytes, from, length, at) {
            if (room <= 0) throw new Error('ENOSPC')
            const { bytesWritten } = await file.write(bytes, from, Math.min(length, room), at)
            room -= bytesWritten
            return { bytesWritten }
          },
          datasync: () => file.datasync(),
          close: () => file.close(),
        }
      },
    )
    await kept.begin({ plan, entries: [] })
    await kept.keep(hint(1))
    room = 10
    await kept.keep(hint(2))
    await kept.keep(hint(3))
    expect((await journal().left(0))?.entries).toEqual([hint(1)])
    room = Number.POSITIVE_INFINITY
    await kept.keep(hint(4))
    await kept.close()
    expect((await journal().left(0))?.entries).toEqual([1, 2, 3, 4].map(hint))
    expect(said).toEqual([expect.stringContaining('ENOSPC'), expect.stringContaining('kept again')])
  })

  it('is gone when the exercise is over; what comes after that is nobody’s', async () => {
    const kept = journal()
    await kept.begin({ plan, entries: [] })
    await kept.end()
    await kept.keep(hint(1))
    expect(names()).toEqual([])
    expect(await kept.left(0)).toBeNull()
    expect(said).toEqual([])
  })

  it('that cannot be understood is set aside byte for byte, and said; another does not write over it', async () => {
    for (const text of ['no journal\n', '{}\n']) {
      const kept = journal()
      await kept.begin({ plan, entries: [] })
      const path = join(folder, '.evenpull', names().find((name) => name.endsWith('.jsonl')) ?? '')
      writeFileSync(path, text)
      await kept.close()
      expect(await journal().left(text.length)).toBeNull()
      expect(readFileSync(`${path}.not-understood-${text.length}`, 'utf8')).toBe(text)
    }
    expect(said).toEqual([expect.stringContaining('line 1 is not one'), expect.stringContaining('put aside as')])
    expect(names()).toHaveLength(2)
  })
})
