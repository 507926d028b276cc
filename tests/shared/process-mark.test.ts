import { spawn } from 'node:child_process'
import { existsSync, readFileSync } from 'node:fs'
import { readFile } from 'node:fs/promises'
import fc from 'fast-check'
import { afterEach, describe, expect, test } from 'vitest'
import { markOf, type Processes, runningWith } from '../../shared/process-mark.ts'
import { childrenOf } from '../integration/support/process-tree.ts'
import { until } from '../integration/support/processes.ts'

const here: Processes = {
  signal: (pid) => process.kill(pid, 0),
  stat: (pid) => readFile(`/proc/${pid}/stat`, 'utf8').catch(() => null),
}
const started: number[] = []
afterEach(() => {
  for (const pid of started.splice(0)) process.kill(pid, 'SIGKILL')
})

/** A `stat` line as proc(5) gives it: 52 fields, of which 1, 2, 3 and 22 matter. */
const statLine = (pid: number, name: string, state: string, ticks: number) =>
  `${pid} (${name}) ${state} ${Array.from({ length: 18 }, () => 0).join(' ')} ${ticks} ${Array.from({ length: 30 }, () => 0).join(' ')}\n`

const system = (stat: string | null, code?: string): Processes => ({
  signal: () => {
    if (code !== undefined) throw Object.assign(new Error(code), { code })
  },
  stat: async () => stat,
})

describe.skipIf(!existsSync('/proc/self/stat'))('on this system', () => {
  test('this process runs with its mark, and not with that of another start', async () => {
    const mark = await markOf(process.pid, here)
    expect(await runningWith(mark, here)).toBe(process.pid)
    const [id, ticks] = mark.split(' ')
    expect(await runningWith(`${id} ${Number(ticks) + 1}`, here)).toBeNull()
  })

  test('a process that has ended and was not collected does not run, though it answers to signals', async () => {
    // The shell becomes sleep, which never collects the child that it inherited.
    const parent = spawn('sh', ['-c', 'sleep 60 & exec sleep 60'], { stdio: 'ignore' })
    const pid = parent.pid as number
    started.push(pid)
    await until('the child is there', () => childrenOf(pid).length === 1)
    const [child] = childrenOf(pid) as [number]
    const mark = await markOf(child, here)
    expect(await runningWith(mark, here)).toBe(child)
    process.kill(child, 'SIGKILL')
    await until('the child has ended', () => / Z /.test(readFileSync(`/proc/${child}/stat`, 'utf8')))
    expect(() => here.signal(child)).not.toThrow()
    expect(await runningWith(mark, here)).toBeNull()
    expect(await runningWith(String(child), here)).toBeNull()
  })
})

test('a mark is read back whatever the name of the process', async () => {
  const name = fc.string({ maxLength: 15 }).map((text) => text.replaceAll('\0', ''))
  await fc.assert(
    fc.asyncProperty(
      name,
      fc.integer({ min: 1 }),
      fc.nat(),
      fc.constantFrom(...'RSDTI'),
      async (comm, pid, ticks, state) => {
        const processes = system(statLine(pid, comm, state, ticks))
        expect(await markOf(pid, processes)).toBe(`${pid} ${ticks}`)
        expect(await runningWith(`${pid} ${ticks}`, processes)).toBe(pid)
        expect(await runningWith(`${pid} ${ticks + 1}`, processes)).toBeNull()
      },
    ),
  )
})

test.each([
  ['ended, not collected', system(statLine(7, 'x', 'Z', 5)), null],
  ['nobody there', system(null, 'ESRCH'), null],
  ['somebody else’s process, on a system that tells nothing of it', system(null, 'EPERM'), 7],
  ['mine, on a system that tells nothing of it', system(null), 7],
])('%s', async (_, processes, expected) => {
  expect(await runningWith('7 5', processes)).toBe(expected)
  expect(await runningWith('7', processes)).toBe(expected)
})

test('a text that is no mark is nobody’s', async () => {
  for (const text of ['', '0', '-1', 'x', '7 5 5', '7 x', '007'])
    expect(await runningWith(text, system(null))).toBeNull()
})
