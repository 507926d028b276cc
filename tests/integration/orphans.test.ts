import { spawn } from 'node:child_process'
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { afterAll, afterEach, beforeAll, describe, expect, test } from 'vitest'
import { stringify } from 'yaml'
import { tcpDevice, twoCells } from './support/cell-config.ts'
import { childrenOf, descendantsOf, isAlive, wordsOf } from './support/process-tree.ts'
import { until } from './support/processes.ts'

const path = (name: string) => fileURLToPath(new URL(`../../${name}`, import.meta.url))
const EVENPULL = path('gateway/cli/evenpull.mjs')
/** From the moment the child exists: while Node starts, while the TypeScript loads, once it works. */
const OFFSETS_MS = [0, 50, 150, 300, 500, 1000]

let folder = ''
let config = ''
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'evenpull-orphans-'))
  config = join(folder, 'line.yaml')
  writeFileSync(config, stringify(twoCells(tcpDevice(1))))
})
afterAll(() => rmSync(folder, { recursive: true, force: true }))

const started: number[] = []
afterEach(() => {
  for (const pid of started.splice(0)) if (isAlive(pid)) process.kill(pid, 'SIGKILL')
})

/** Starts a program, and stops it, seen from outside, `afterMs` after it has a child of that name. */
async function stoppedWithChild(words: readonly string[], child: string, afterMs: number): Promise<number> {
  const parent = spawn(process.execPath, [...words], {
    stdio: ['ignore', 'ignore', 'pipe'],
    env: { ...process.env, TMPDIR: folder },
  })
  const { pid = 0 } = parent
  started.push(pid)
  let complaints = ''
  parent.stderr.on('data', (chunk) => {
    complaints += String(chunk)
  })
  const hasChild = () => childrenOf(pid).some((one) => wordsOf(one).includes(child))
  await until(`a child ${child}`, () => hasChild() || parent.exitCode !== null, 300_000)
  if (parent.exitCode !== null) throw new Error(`ended before it had a child ${child}: ${complaints}`)
  await new Promise((resolve) => setTimeout(resolve, afterMs))
  process.kill(pid, 'SIGSTOP')
  return pid
}

const PROGRAMS = [
  ['evenpull run', () => [EVENPULL, 'run', config, '--port', '0'], 'polling-process.mjs'],
  ['evenpull simulate', () => [EVENPULL, 'simulate', 'demo', '--port', '0', '--port2', '0'], 'simulator/main.ts'],
  ['npm start, at its simulator', () => [path('gateway/start/start.mjs'), '--port', '0'], 'simulator/main.ts'],
  ['npm start, at its gateway', () => [path('gateway/start/start.mjs'), '--port', '0'], 'evenpull.mjs run'],
] as const

describe.skipIf(process.platform !== 'linux')('nobody outlives a program that is killed while it starts', () => {
  test.each(PROGRAMS)('%s', { timeout: 400_000 }, async (_what, words, child) => {
    for (const afterMs of OFFSETS_MS) {
      const pid = await stoppedWithChild(words(), child, afterMs)
      const below = descendantsOf(pid)
      started.push(...below)
      expect(below.length).toBeGreaterThan(0)
      process.kill(pid, 'SIGKILL')
      await until(
        `after ${afterMs} ms: the end of ${below.map(wordsOf).join('; ')}`,
        () => !below.some(isAlive),
        20_000,
      )
    }
  })

  test('the polling process ends on SIGTERM, also while it loads', async () => {
    for (const afterMs of OFFSETS_MS) {
      const pid = await stoppedWithChild([EVENPULL, 'run', config, '--port', '0'], 'polling-process.mjs', afterMs)
      const below = descendantsOf(pid)
      started.push(...below)
      for (const one of below) process.kill(one, 'SIGTERM')
      await until(`after ${afterMs} ms: the end of the polling process`, () => !below.some(isAlive))
      process.kill(pid, 'SIGKILL')
    }
  })
})
