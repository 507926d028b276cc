import { mkdirSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import { type KeptStates, NOTHING_KEPT } from '../../gateway/alarms/kept-states.ts'
import { StateFile } from '../../gateway/alarms/state-file.ts'
import { firstMemory } from '../../lib/alarms/state.ts'

let folder = ''
let config = ''
const log: string[] = []
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'evenpull-alarms-'))
  config = join(folder, 'line.yaml')
  log.length = 0
})
afterEach(() => rmSync(folder, { recursive: true, force: true }))

const file = () => new StateFile(config, (line) => log.push(line))
const path = () => join(folder, '.evenpull', 'line.yaml.alarms.json')
const states: KeptStates = {
  ...NOTHING_KEPT,
  alarms: { 'infeed.side-difference': { memory: firstMemory(1000), announced: null } },
  announcedMs: [1, 2],
}

describe('the file of alarm states', () => {
  it('holds nothing before the first save, and that is no fault', async () => {
    expect(await file().load()).toEqual(NOTHING_KEPT)
    expect(log).toEqual([])
  })

  it('gives back what was saved, and leaves nothing else behind', async () => {
    await file().save(states)
    await file().save({ ...states, announcedMs: [3] })
    expect(await file().load()).toEqual({ ...states, announcedMs: [3] })
    expect(readdirSync(join(folder, '.evenpull'))).toEqual(['line.yaml.alarms.json'])
  })

  it('that cannot be understood is put aside, not written over, and said', async () => {
    mkdirSync(join(folder, '.evenpull'))
    writeFileSync(path(), '{"version":1,"alarms":')
    expect(await file().load()).toEqual(NOTHING_KEPT)
    expect(readFileSync(`${path()}.not-understood`, 'utf8')).toBe('{"version":1,"alarms":')
    expect(log.join()).toContain('put aside')
  })

  it('that cannot be written rejects with the reason', async () => {
    writeFileSync(join(folder, '.evenpull'), 'a file where the folder should be')
    await expect(file().save(states)).rejects.toThrow(/EEXIST|ENOTDIR/)
  })
})
