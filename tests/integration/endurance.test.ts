import { spawn } from 'node:child_process'
import { mkdtempSync, readdirSync, readFileSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { afterAll, beforeAll, beforeEach, describe, expect, it } from 'vitest'
import { invariants } from '../endurance/judge.ts'
import { endure } from '../endurance/run.ts'
import { titled } from './support/installed.ts'
import { startSimulatorProcess } from './support/simulator.ts'

/** Not part of every run until it has been seen green on an idle machine: it takes two minutes and both cores. */
const why = process.env.EVENPULL_ENDURE === '1' ? null : 'skipped: EVENPULL_ENDURE=1 runs it'
const DAY = titled('a day in a minute or two, with stops, kills, a full disk, an outage and a set clock', why)

describe.skipIf(process.platform !== 'linux' || why !== null)(DAY, () => {
  it('leaves no gap that nobody can explain, loses nothing but to the disk, and holds as many files at the end', {
    timeout: 600_000,
  }, async () => {
    const endured = await endure({ days: 1, rateHz: 2, speed: 1000, rests: 8, say: () => {} })
    const broken = invariants(endured).filter(({ state }) => state === 'broken')
    expect(broken.map(({ text }) => text)).toEqual([])
    expect(endured.samples).toBeGreaterThan(86_400)
  })
})

const SOAK = fileURLToPath(new URL('../endurance/soak.ts', import.meta.url))

/** Runs the soak until it ends, or until it is told to after its third row. */
async function soaked(folder: string, words: readonly string[], signal?: NodeJS.Signals) {
  const child = spawn(process.execPath, ['--import', 'tsx', SOAK, ...words], { stdio: ['ignore', 'pipe', 'pipe'] })
  let out = ''
  for (const stream of [child.stdout, child.stderr])
    stream.on('data', (chunk) => {
      out += String(chunk)
    })
  const rows = () => {
    const [name] = readdirSync(folder).filter((one) => one.endsWith('.csv'))
    return name === undefined ? [] : readFileSync(join(folder, name), 'utf8').trimEnd().split('\n')
  }
  const looking = setInterval(() => {
    if (signal === undefined || rows().length <= 3) return
    clearInterval(looking)
    child.kill(signal)
  }, 50)
  const code = await new Promise<number | null>((resolve) => child.once('exit', resolve))
  clearInterval(looking)
  return { code, out, rows: rows() }
}

describe.skipIf(process.platform !== 'linux')('a soak of a gateway on the simulator', () => {
  let folder = ''
  let simulator: Awaited<ReturnType<typeof startSimulatorProcess>>
  beforeAll(async () => {
    folder = mkdtempSync(join(tmpdir(), 'evenpull-soak-'))
    simulator = await startSimulatorProcess('demo', '--write-config', join(folder, 'line.yaml'))
  })
  afterAll(async () => {
    await simulator.stop()
    rmSync(folder, { recursive: true, force: true })
  })

  beforeEach(() => {
    for (const name of readdirSync(folder)) if (name.endsWith('.csv')) rmSync(join(folder, name))
  })

  it('starts it, writes a row a look beside the config, and says at the end what it came to', async () => {
    const words = [join(folder, 'line.yaml'), '--port', '0', '--seconds', '6', '--every', '1']
    const { code, out, rows } = await soaked(folder, words)
    expect([code, out]).toEqual([0, expect.stringContaining('samples lost: 0; recording: Every sample is recorded.')])
    const [header = '', ...told] = rows
    const column = (name: string) => told.map((row) => row.split(',')[header.split(',').indexOf(name)] ?? '')
    expect(told.length).toBeGreaterThanOrEqual(3)
    expect(column('lost_samples').every((value) => value === '0')).toBe(true)
    for (const name of ['memory_mb', 'files', 'threads'])
      expect(column(name).every((value) => Number(value) > 5)).toBe(true)
    expect(Number(column('amplifier_answers').at(-1))).toBeGreaterThan(0)
  })

  it('ends on Ctrl-C with the summary, every row on the disk, and leaves no gateway behind', async () => {
    const words = [join(folder, 'line.yaml'), '--port', '0', '--hours', '8', '--every', '0.5']
    const { out, rows } = await soaked(folder, words, 'SIGINT')
    expect(out).toContain(`${rows.length - 1} looks in`)
    // Whoever recorded there has let go of the store: another may begin at once.
    const again = await soaked(folder, [join(folder, 'line.yaml'), '--port', '0', '--seconds', '1', '--every', '1'])
    expect(again.out).not.toContain('EVP_STORE_LOCKED')
  })
})
