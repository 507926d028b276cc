import { spawnSync } from 'node:child_process'
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, describe, expect, it } from 'vitest'
import { type UnitFacts, unitOf } from '../../gateway/deploy/unit.ts'
import { LEAN } from '../../gateway/start/lean.mjs'
import { titled } from '../integration/support/installed.ts'

const folder = mkdtempSync(join(tmpdir(), 'evenpull-unit-'))
afterAll(() => rmSync(folder, { recursive: true, force: true }))

const FACTS: UnitFacts = {
  node: process.execPath,
  program: '/usr/bin/true',
  configPath: `${folder}/line.yaml`,
  user: 'root',
  storeFolder: `${folder}/.evenpull`,
}
const PLAIN = { devices: [] }
const hasAnalyser = spawnSync('systemd-analyze', ['--version']).status === 0
const title = (words: string) => titled(words, hasAnalyser ? null : 'skipped: systemd-analyze not installed')

/** What `systemd-analyze verify` complains of, of this unit alone. */
function complaints(unit: string): string {
  const path = join(folder, 'evenpull.service')
  writeFileSync(path, unit)
  const { stderr } = spawnSync('systemd-analyze', ['verify', '--man=no', '--recursive-errors=no', path], {
    encoding: 'utf8',
  })
  return stderr
    .split('\n')
    .filter((line) => line.includes('evenpull.service'))
    .join('\n')
}

describe('a unit of systemd', () => {
  it.skipIf(!hasAnalyser)(title('is one that systemd itself finds nothing wrong with'), () => {
    expect(complaints(unitOf({ plant: 'Plant 100 %', line: 'Line\n2', ...PLAIN }, FACTS))).toBe('')
  })

  it.skipIf(!hasAnalyser)(title('is looked at by something that does find what is wrong'), () => {
    expect(complaints(unitOf(PLAIN, FACTS).replace('Restart=on-failure', 'Restart=sometimes'))).toContain(
      'restart specifier',
    )
  })

  it('keeps a path with spaces, percent and dollar signs one word', () => {
    const unit = unitOf(PLAIN, { ...FACTS, configPath: '/srv/line 1/100%$x/"a".yaml', storeFolder: '/srv/store' })
    expect(unit).toContain(`"run" "/srv/line 1/100%%$$x/\\"a\\".yaml"`)
  })

  it('lets the service write the folder of its config and no other, and the store’s where that is elsewhere', () => {
    expect(unitOf(PLAIN, FACTS)).toContain(`ReadWritePaths="${folder}"\n`)
    expect(unitOf(PLAIN, { ...FACTS, storeFolder: '/data' })).toContain(`ReadWritePaths="${folder}" "/data"\n`)
  })

  it('starts the gateway with the words for its memory', () => {
    const lines = unitOf(PLAIN, FACTS).split('\n')
    for (const [name, value] of Object.entries(LEAN)) expect(lines).toContain(`Environment="${name}=${value}"`)
  })

  it('takes no line that a name brings along', () => {
    expect(unitOf({ line: 'a\nExecStartPre=/bin/false', ...PLAIN }, FACTS)).not.toMatch(/^ExecStartPre/m)
    expect(() => unitOf(PLAIN, { ...FACTS, configPath: '/a\nb' })).toThrow(RangeError)
  })
})
