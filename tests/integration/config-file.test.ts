import { spawnSync } from 'node:child_process'
import {
  chmodSync,
  existsSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  statSync,
  symlinkSync,
  writeFileSync,
} from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import { ConfigFile } from '../../gateway/config/config-file.ts'
import { parseConfig, revisionOf } from '../../gateway/config/load.ts'
import { TWO_SIDES } from '../config/support.ts'
import { titled } from './support/installed.ts'

const NEW = TWO_SIDES.replace('zero: 0.042', 'zero: 0.05')
const ZERO = ['channels', 0, 'force', 'zero']
let folder = ''
let path = ''
const log: string[] = []

beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'evenpull-write-'))
  path = join(folder, 'line.yaml')
  writeFileSync(path, TWO_SIDES)
  log.length = 0
})
afterEach(() => rmSync(folder, { recursive: true, force: true }))

async function opened(at = path): Promise<ConfigFile> {
  const file = new ConfigFile({ path: at, nowEpochMs: () => 1000, log: (line) => log.push(line) })
  await file.open()
  return file
}

const signed = (zero: number, base: string) => ({
  baseRevision: revisionOf(base),
  who: 'A. Fitter',
  action: 'zero' as const,
  record: null,
  edits: () => [{ path: ZERO, value: zero }],
})
const entries = (file: ConfigFile) => file.list('000000000000', 50).revisions
const leftovers = () => readdirSync(folder).filter((name) => name.endsWith('.tmp'))

describe('a change', () => {
  it('is in the file, in the log with before and after, and its whole text is kept', async () => {
    const file = await opened()
    const { revision } = await file.change(signed(0.05, TWO_SIDES))
    expect(readFileSync(path, 'utf8')).toBe(NEW)
    expect(revision).toBe(revisionOf(NEW))
    expect(entries(file)).toMatchObject([
      {
        revision,
        previous: revisionOf(TWO_SIDES),
        who: 'A. Fitter',
        action: 'zero',
        changes: [{ key: 'channel unwind-ds: force.zero', before: 0.042, after: 0.05 }],
      },
      { revision: revisionOf(TWO_SIDES), previous: null, who: null, action: 'first seen' },
    ])
    expect(readFileSync(`${path}.revisions/${revision}.yaml`, 'utf8')).toBe(NEW)
    expect(readFileSync(`${path}.revisions/${revisionOf(TWO_SIDES)}.yaml`, 'utf8')).toBe(TWO_SIDES)
    expect(entries(await opened())).toEqual(entries(file))
    expect(leftovers()).toEqual([])
  })

  it('keeps the mode, follows a link and keeps the mark of the byte order', async () => {
    const inner = join(folder, 'real')
    mkdirSync(inner)
    writeFileSync(join(inner, 'x.yaml'), `\uFEFF${TWO_SIDES}`)
    chmodSync(join(inner, 'x.yaml'), 0o640)
    rmSync(path)
    symlinkSync(join('real', 'x.yaml'), path)
    await (await opened()).change(signed(0.05, TWO_SIDES))
    expect(readFileSync(join(inner, 'x.yaml'), 'utf8')).toBe(`\uFEFF${NEW}`)
    expect(statSync(join(inner, 'x.yaml')).mode & 0o777).toBe(0o640)
    expect(statSync(`${path}.revisions.jsonl`).mode & 0o137).toBe(0)
  })

  it('from an older revision is refused, and so is one where the file was edited by hand or broken', async () => {
    const file = await opened()
    await expect(file.change(signed(0.05, NEW))).rejects.toMatchObject({ code: 'EVP_CONFIG_CHANGED' })
    writeFileSync(path, NEW)
    await expect(file.change(signed(0.06, TWO_SIDES))).rejects.toMatchObject({ code: 'EVP_CONFIG_CHANGED' })
    writeFileSync(path, 'version: [')
    const broken = expect(file.change(signed(0.06, NEW))).rejects
    await broken.toMatchObject({ code: 'EVP_CONFIG_CHANGED', message: expect.stringContaining('holds a mistake') })
    expect(readFileSync(path, 'utf8')).toBe('version: [')
    expect(entries(file)).toHaveLength(1)
  })

  it('that the rules of the config refuse is not written', async () => {
    const file = await opened()
    const wrong = { ...signed(0, TWO_SIDES), edits: () => [{ path: ['channels', 0, 'force', 'gain'], value: 0 }] }
    await expect(file.change(wrong)).rejects.toMatchObject({ code: 'EVP_CONFIG_INVALID' })
    expect(readFileSync(path, 'utf8')).toBe(TWO_SIDES)
    expect(entries(file)).toHaveLength(1)
  })

  it('of nothing writes nothing', async () => {
    const file = await opened()
    expect((await file.change(signed(0.042, TWO_SIDES))).revision).toBe(revisionOf(TWO_SIDES))
    expect(entries(file)).toHaveLength(1)
  })

  it('of several at once: one is made, the others are told that it was', async () => {
    const file = await opened()
    const outcomes = await Promise.allSettled([1, 2, 3, 4].map((n) => file.change(signed(n / 10, TWO_SIDES))))
    expect(outcomes.filter(({ status }) => status === 'fulfilled')).toHaveLength(1)
    for (const one of outcomes) if (one.status === 'rejected') expect(one.reason.code).toBe('EVP_CONFIG_CHANGED')
    expect(entries(file)).toHaveLength(2)
  })
})

describe('edits by other hands', () => {
  it('are recorded with what they changed, also those made while nobody watched', async () => {
    const file = await opened()
    writeFileSync(path, NEW)
    await file.noticed()
    expect(entries(file)[0]).toMatchObject({
      action: 'edited by hand',
      who: null,
      changes: [{ key: 'channel unwind-ds: force.zero', before: 0.042, after: 0.05 }],
    })
    writeFileSync(path, NEW.replace('cell_distance_m: 1.6', 'cell_distance_m: 1.5'))
    expect(entries(await opened())[0]).toMatchObject({
      changes: [{ key: 'zone unwind: cell_distance_m', before: 1.6, after: 1.5 }],
    })
  })

  it('are told from a log whose last line a power cut left open', async () => {
    await (await opened()).change(signed(0.05, TWO_SIDES))
    const lines = `${path}.revisions.jsonl`
    writeFileSync(lines, readFileSync(lines, 'utf8').slice(0, -20))
    const file = await opened()
    expect(log.join()).toContain('1 lines')
    expect(entries(file)[0]).toMatchObject({ revision: revisionOf(NEW), action: 'edited by hand' })
    await file.change(signed(0.07, NEW))
    expect(entries(await opened())[0]).toMatchObject({ who: 'A. Fitter', previous: revisionOf(NEW) })
  })
})

describe('kill −9 before any call to the file system', () => {
  it('leaves the old or the new file whole, a log that agrees with it, and a way on', {
    timeout: 300_000,
  }, async () => {
    const runOnce = (killBefore: number) =>
      spawnSync(
        process.execPath,
        [
          '--import',
          'tsx',
          '--import',
          fileURLToPath(new URL('support/kill-before-call.mjs', import.meta.url)),
          fileURLToPath(new URL('support/change-once.ts', import.meta.url)),
          path,
        ],
        { env: { ...process.env, KILL_BEFORE: String(killBefore) }, encoding: 'utf8' },
      )
    const whole = runOnce(0)
    expect(whole.status, whole.stderr).toBe(0)
    const calls = Number(/calls (\d+)/.exec(whole.stdout)?.[1])
    expect(calls).toBeGreaterThan(20)
    const seen = { old: 0, new: 0 }
    for (let n = 1; n <= calls; n++) {
      rmSync(folder, { recursive: true })
      mkdirSync(folder)
      writeFileSync(path, TWO_SIDES)
      expect(runOnce(n).signal, `call ${n}`).toBe('SIGKILL')
      const text = readFileSync(path, 'utf8')
      expect([TWO_SIDES, NEW]).toContain(text)
      seen[text === NEW ? 'new' : 'old'] += 1
      const file = await opened()
      expect(entries(file)[0], `call ${n}`).toMatchObject(
        text === NEW ? { revision: revisionOf(NEW), who: 'A. Fitter' } : { revision: revisionOf(TWO_SIDES), who: null },
      )
      await file.change(signed(0.09, text))
      expect(parseConfig(readFileSync(path, 'utf8'), path).config.channels[0]?.force?.zero).toBe(0.09)
      expect(leftovers()).toEqual([])
      expect(entries(file)).toHaveLength(text === NEW ? 3 : 2)
    }
    expect(seen.old).toBeGreaterThan(5)
    expect(seen.new).toBeGreaterThan(0)
  })
})

/** A disk of 32 kB, which only root may mount. */
function smallDisk(): string | null {
  const at = join(folder, 'disk')
  mkdirSync(at)
  const mounted = spawnSync('mount', ['-t', 'tmpfs', '-o', 'size=32k', 'tmpfs', at]).status === 0
  return mounted ? at : null
}
const mayMount = process.getuid?.() === 0 && spawnSync('sh', ['-c', 'command -v mount']).status === 0
const noDisk = mayMount ? null : 'skipped: only root may mount a small disk'

describe('where the file cannot be written', () => {
  it.skipIf(noDisk !== null)(
    titled('a full disk changes nothing, whatever was left free, and says so; with room again it works', noDisk),
    async () => {
      const disk = smallDisk()
      if (disk === null) throw new Error('root could not mount a tmpfs')
      const at = join(disk, 'line.yaml')
      const filler = join(disk, 'filler')
      try {
        writeFileSync(at, TWO_SIDES)
        const file = await opened(at)
        let refused = 0
        // tmpfs gives room in pages: every amount of room that is left, from none on.
        for (const kilobytes of [32, 20, 16, 12, 8]) {
          spawnSync('dd', ['if=/dev/zero', `of=${filler}`, 'bs=1k', `count=${kilobytes}`])
          const outcome = await file.change(signed(0.05, TWO_SIDES)).then(
            () => null,
            (error: { code: string; message: string }) => error,
          )
          if (outcome === null) break
          expect(outcome).toMatchObject({ code: 'EVP_CONFIG_WRITE', message: expect.stringContaining('disk is full') })
          refused += 1
          expect(readFileSync(at, 'utf8')).toBe(TWO_SIDES)
          expect(entries(file)[0]?.revision).toBe(revisionOf(TWO_SIDES))
          rmSync(filler)
        }
        expect(refused).toBeGreaterThan(1)
        rmSync(filler, { force: true })
        const base = readFileSync(at, 'utf8')
        await file.change(signed(0.08, base))
        expect(parseConfig(readFileSync(at, 'utf8'), at).config.channels[0]?.force?.zero).toBe(0.08)
        expect(entries(await opened(at))).toEqual(entries(file))
        expect(existsSync(filler)).toBe(false)
      } finally {
        spawnSync('umount', [disk])
      }
    },
  )

  it('a folder in which nothing can be made beside the file changes nothing', async () => {
    // The longest name a file may have leaves no room for that of its successor: so it is for root as well.
    const long = join(folder, `${'x'.repeat(250)}.yaml`)
    writeFileSync(long, TWO_SIDES)
    const file = await opened(long)
    await expect(file.change(signed(0.05, TWO_SIDES))).rejects.toMatchObject({ code: 'EVP_CONFIG_WRITE' })
    expect(readFileSync(long, 'utf8')).toBe(TWO_SIDES)
    expect(log.length).toBeGreaterThan(0)
  })
})
