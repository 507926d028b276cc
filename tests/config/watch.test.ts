import { mkdirSync, mkdtempSync, renameSync, rmSync, symlinkSync, unlinkSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterEach, beforeEach, expect, test, vi } from 'vitest'
import { revisionOf } from '../../gateway/config/load.ts'
import { watchConfig } from '../../gateway/config/watch.ts'
import { edited, TWO_SIDES } from './support.ts'

vi.setConfig({ testTimeout: 60_000 })

const FASTER = edited('rate_hz: 100', 'rate_hz: 200')
const SLOWER = edited('rate_hz: 100', 'rate_hz: 50')
const WRONG = edited('rate_hz: 100', 'rate: 100')

let folder = ''
let path = ''
let said: string[] = []
let stop = () => {}

beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'evenpull-watch-'))
  path = join(folder, 'line.yaml')
  said = []
  writeFileSync(path, TWO_SIDES)
})
afterEach(() => {
  stop()
  rmSync(folder, { recursive: true })
})

function watch(options: { revision?: string } = {}): void {
  const handlers = {
    applied: ({ revision }: { revision: string }) => void said.push(`applied ${revision}`),
    refused: (errors: readonly { code: string; place?: { line: number } | undefined }[]) =>
      void said.push(`refused ${errors.map(({ code, place }) => `${code} line ${place?.line}`).join(', ')}`),
  }
  stop = watchConfig(path, handlers, { settleMs: 30, pollMs: 100, ...options }).stop
}

const applied = (text: string) => `applied ${revisionOf(text)}`
const heard = (...expected: string[]) =>
  vi.waitFor(() => expect(said).toEqual(expected), { timeout: 20_000, interval: 20 })

test('an edit in place is applied, and an unchanged file says nothing', async () => {
  watch()
  writeFileSync(path, FASTER)
  await heard(applied(FASTER))
  writeFileSync(path, FASTER)
  writeFileSync(path, SLOWER)
  await heard(applied(FASTER), applied(SLOWER))
})

test('a file replaced by renaming, as editors do, is applied, and again the next time', async () => {
  watch()
  for (const text of [FASTER, SLOWER]) {
    writeFileSync(join(folder, '.line.yaml.new'), text)
    renameSync(join(folder, '.line.yaml.new'), path)
    await vi.waitFor(() => expect(said.at(-1)).toBe(applied(text)), { timeout: 20_000 })
  }
  expect(said).toEqual([applied(FASTER), applied(SLOWER)])
})

test('a wrong edit is refused once with its place; undoing it is told too', async () => {
  watch()
  writeFileSync(path, WRONG)
  await heard('refused EVP_CONFIG_INVALID line 12')
  writeFileSync(path, WRONG)
  writeFileSync(path, TWO_SIDES)
  await heard('refused EVP_CONFIG_INVALID line 12', applied(TWO_SIDES))
})

test('a file that is gone is refused, and applied when it is back with other text', async () => {
  watch()
  unlinkSync(path)
  await heard('refused EVP_CONFIG_NOT_FOUND line undefined')
  writeFileSync(path, FASTER)
  await heard('refused EVP_CONFIG_NOT_FOUND line undefined', applied(FASTER))
})

test('a link that is pointed at another folder is followed', async () => {
  for (const [name, text] of [
    ['one', TWO_SIDES],
    ['two', FASTER],
  ] as const) {
    mkdirSync(join(folder, name))
    writeFileSync(join(folder, name, 'line.yaml'), text)
  }
  symlinkSync('one', join(folder, 'current'))
  path = join(folder, 'current', 'line.yaml')
  watch()
  symlinkSync('two', join(folder, 'next'))
  renameSync(join(folder, 'next'), join(folder, 'current'))
  await heard(applied(FASTER))
})

test('an edit between load and watch is not lost when the revision in force is told', async () => {
  writeFileSync(path, FASTER)
  watch({ revision: revisionOf(TWO_SIDES) })
  await heard(applied(FASTER))
})

test('after stop nothing is said', async () => {
  watch()
  stop()
  writeFileSync(path, FASTER)
  await new Promise((resolve) => setTimeout(resolve, 500))
  expect(said).toEqual([])
})
