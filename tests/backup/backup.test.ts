import { existsSync, mkdirSync, mkdtempSync, readFileSync, rmSync, statSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import { backUp } from '../../gateway/backup/back-up.ts'
import { restore } from '../../gateway/backup/restore.ts'
import { openForReading } from '../../gateway/recorder/driver.ts'
import { openStore } from '../../gateway/recorder/open-store.ts'

let folder = ''
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'evenpull-backup-'))
})
afterEach(() => rmSync(folder, { recursive: true, force: true }))

const NOW = Date.UTC(2026, 5, 1)
const CONFIG = `version: 1
gateway: { tls: { cert: cert.pem, key: key.pem } }
devices: [{ id: a, transport: modbus-tcp, host: 127.0.0.1 }]
channels: [{ id: x, device: a, register: { address: 0 }, force: { gain: 1, capacity: 100 } }]
zones: [{ id: z, cells: { single: x } }]
`
const at = (...parts: string[]) => join(folder, ...parts)
const notes = (path: string): unknown[] => {
  const db = openForReading(path)
  try {
    return db.prepare("SELECT id FROM document WHERE kind = 'test' ORDER BY id").all()
  } finally {
    db.close()
  }
}

/** A gateway's files as they are while it runs: the store stays open with something not yet folded in. */
function madeLine() {
  mkdirSync(at('line/.evenpull'), { recursive: true })
  mkdirSync(at('line/line.yaml.revisions'))
  writeFileSync(at('line/line.yaml'), CONFIG)
  writeFileSync(at('line/line.yaml.revisions.jsonl'), '{}\n')
  writeFileSync(at('line/line.yaml.revisions/abc.yaml'), CONFIG)
  writeFileSync(at('line/.evenpull/users.json'), '{"version":1,"users":[]}', { mode: 0o600 })
  writeFileSync(at('line/.evenpull/line.yaml.alarms.json'), '{}')
  writeFileSync(at('line/.evenpull/line.yaml.sessions.json'), '[]')
  writeFileSync(at('line/.evenpull/line.yaml.training-secret'), 'secret')
  writeFileSync(at('line/.evenpull/line.yaml.training.json'), '{"version":1,"results":[]}', { mode: 0o600 })
  writeFileSync(at('line/.evenpull/line.yaml.training-open.jsonl'), '{}\n', { mode: 0o600 })
  mkdirSync(at('line/.evenpull/line.yaml.training'))
  writeFileSync(at('line/.evenpull/line.yaml.training/e1.json'), '{}', { mode: 0o600 })
  writeFileSync(at('line/.evenpull/line.yaml.training/.e2.json.7-1.tmp'), '{')
  const store = openStore(at('line/.evenpull/line.yaml.sqlite'), NOW, false)
  store.db.prepare("INSERT INTO document VALUES ('test', 'one', 0, '{}')").run()
  return store
}

describe('a backup', () => {
  it('holds everything but sessions, secrets and what the config names, while the store is being written', async () => {
    const store = madeLine()
    const { files, notInIt, config } = await backUp(at('line/line.yaml'), at('copy'), NOW)
    store.close()
    expect(config).toBe('line.yaml')
    expect(files.map(({ path }) => path).sort()).toEqual([
      '.evenpull/line.yaml.alarms.json',
      '.evenpull/line.yaml.training-open.jsonl',
      '.evenpull/line.yaml.training.json',
      '.evenpull/line.yaml.training/e1.json',
      '.evenpull/users.json',
      'line.yaml',
      'line.yaml.revisions.jsonl',
      'line.yaml.revisions/abc.yaml',
      'store/line.yaml.sqlite',
    ])
    expect(notInIt).toEqual([at('line/cert.pem'), at('line/key.pem')])
    expect(notes(at('copy/store/line.yaml.sqlite'))).toHaveLength(1)
    expect(statSync(at('copy/.evenpull/users.json')).mode & 0o077, 'nobody else may read the users').toBe(0)
  })

  it('put back is what it was, under another name as well', async () => {
    madeLine().close()
    await backUp(at('line/line.yaml'), at('copy'), NOW)
    await restore(at('copy'), at('new/line-2.yaml'))
    expect(readFileSync(at('new/line-2.yaml'), 'utf8')).toBe(CONFIG)
    expect(existsSync(at('new/line-2.yaml.revisions/abc.yaml'))).toBe(true)
    expect(existsSync(at('new/.evenpull/line-2.yaml.alarms.json'))).toBe(true)
    expect(existsSync(at('new/.evenpull/line-2.yaml.training.json'))).toBe(true)
    expect(existsSync(at('new/.evenpull/line-2.yaml.training/e1.json'))).toBe(true)
    expect(notes(at('new/.evenpull/line-2.yaml.sqlite'))).toHaveLength(1)
    const again = openStore(at('new/.evenpull/line-2.yaml.sqlite'), NOW, false)
    expect(again.setAside, 'a gateway records on into it').toBeNull()
    again.close()
  })

  it('goes into no folder that holds anything', async () => {
    madeLine().close()
    mkdirSync(at('copy'))
    writeFileSync(at('copy/mine'), '')
    await expect(backUp(at('line/line.yaml'), at('copy'), NOW)).rejects.toMatchObject({ code: 'EVP_USAGE' })
  })

  it('does not go into a file, and says so', async () => {
    madeLine().close()
    writeFileSync(at('copy'), '')
    await expect(backUp(at('line/line.yaml'), at('copy'), NOW)).rejects.toMatchObject({
      code: 'EVP_USAGE',
      message: `${at('copy')} cannot be used: it is a file; a backup goes into a folder of its own`,
    })
  })

  it('with a changed byte is not put back, and nothing is written', async () => {
    madeLine().close()
    await backUp(at('line/line.yaml'), at('copy'), NOW)
    const path = at('copy/store/line.yaml.sqlite')
    const bytes = readFileSync(path)
    bytes[100] = (bytes[100] ?? 0) ^ 1
    writeFileSync(path, bytes)
    await expect(restore(at('copy'), at('new/line.yaml'))).rejects.toMatchObject({ code: 'EVP_STORE_BROKEN' })
    expect(existsSync(at('new'))).toBe(false)
  })

  it('replaces nothing that is there', async () => {
    madeLine().close()
    await backUp(at('line/line.yaml'), at('copy'), NOW)
    await expect(restore(at('copy'), at('line/line.yaml'))).rejects.toMatchObject({ code: 'EVP_USAGE' })
  })

  it('without its list of files is no backup', async () => {
    mkdirSync(at('copy'))
    await expect(restore(at('copy'), at('new/line.yaml'))).rejects.toMatchObject({ code: 'EVP_NOT_FOUND' })
  })
})
