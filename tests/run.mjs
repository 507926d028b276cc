#!/usr/bin/env node
/**
 * `npm test`: sets up what a fresh clone lacks, then lint, types and every test; the last line
 * alone reads "N passed, N failed". Words after `--` narrow the tests: `npm test -- tests/codec`.
 */
import { spawnSync } from 'node:child_process'
import { mkdtempSync, readFileSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { ROOT, setUp } from '../gateway/start/setup.mjs'
import { provide } from './support/needs.mjs'

const say = (line) => console.log(`test: ${line}`)
const only = process.argv.slice(2)
const total = { passed: 0, failed: 0, skipped: 0 }

function step(name, file, args, env = {}) {
  say(name)
  const { status } = spawnSync(process.execPath, [join('node_modules', file), ...args], {
    cwd: ROOT,
    stdio: 'inherit',
    env: { ...process.env, ...env },
  })
  return status === 0
}

/** Lint and types count as one test each. */
function check(name, file, args) {
  if (step(name, file, args)) total.passed++
  else total.failed++
}

function tests(browser) {
  const scratch = mkdtempSync(join(tmpdir(), 'evenpull-test-'))
  const counts = join(scratch, 'counts.json')
  const reporters = ['--reporter=default', '--reporter=./tests/support/closing-line.ts']
  const ok = step(
    'unit, published, integration and browser tests',
    'vitest/vitest.mjs',
    ['run', '--config', 'tests/vitest.config.ts', ...reporters, ...only],
    { CHROME_PATH: browser, EVENPULL_COUNTS: counts, NO_COLOR: '1' },
  )
  try {
    const counted = JSON.parse(readFileSync(counts, 'utf8'))
    for (const key of Object.keys(total)) total[key] += counted[key]
    if (!ok && counted.failed === 0) total.failed++
  } catch {
    total.failed++
  } finally {
    rmSync(scratch, { recursive: true, force: true })
  }
}

try {
  await setUp(say)
  const browser = provide(say, ROOT)
  if (only.length === 0) {
    check('lint', '@biomejs/biome/bin/biome', ['check', '.'])
    check('types', 'typescript/bin/tsc', ['--noEmit'])
  }
  tests(browser)
} catch (error) {
  console.error(`test: ${error.message}`)
  total.failed++
}
if (total.skipped > 0) say(`${total.skipped} skipped; each title says why`)
console.log(`${total.passed} passed, ${total.failed} failed`)
process.exitCode = total.failed === 0 ? 0 : 1
