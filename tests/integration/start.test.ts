import { spawn } from 'node:child_process'
import { fileURLToPath } from 'node:url'
import { afterEach, describe, expect, it } from 'vitest'
import { LEAN } from '../../gateway/start/lean.mjs'
import type { ZoneNow } from '../../shared/schemas/now.ts'
import { untilAnswer } from './support/gateway.ts'
import { descendantsOf, environmentOf, isAlive, wordsOf } from './support/process-tree.ts'

const ROOT = fileURLToPath(new URL('../..', import.meta.url))

const ends: (() => void)[] = []
afterEach(() => {
  for (const end of ends.splice(0)) end()
})

/** `npm start` as typed, its own process group as in a terminal. */
async function npmStart() {
  const child = spawn('npm', ['start', '--', '--port', '0'], {
    cwd: ROOT,
    detached: true,
    stdio: ['ignore', 'pipe', 'pipe'],
  })
  const pid = child.pid ?? 0
  ends.push(() => {
    if (isAlive(pid)) process.kill(-pid, 'SIGKILL')
  })
  let output = ''
  child.stdout.on('data', (chunk) => {
    output += chunk
  })
  child.stderr.on('data', (chunk) => {
    output += chunk
  })
  const exited = new Promise<number | null>((resolve) => child.once('exit', resolve))
  const address = await untilAnswer(
    async () => /http:\/\/\S+/.exec(output)?.[0] ?? '',
    (found) => found !== '' || child.exitCode !== null,
    300_000,
  )
  if (address === '') throw new Error(`npm start ended: ${output}`)
  return { pid, address, exited, output: () => output }
}

describe.skipIf(process.platform !== 'linux')('npm start', () => {
  it('brings up simulator, gateway and page at one address, with both sides live', { timeout: 400_000 }, async () => {
    const { pid, address, exited, output } = await npmStart()
    expect(output().match(/http:\/\//g), 'one address').toHaveLength(1)
    const page = await fetch(address)
    expect(page.status).toBe(200)
    expect(await page.text()).toContain('<html')
    const now = await untilAnswer(
      async () => (await (await fetch(`${address}/api/zones/coater-outfeed/now`)).json()) as ZoneNow,
      (zone) => zone.total.value !== null,
      60_000,
    )
    expect(now.total.value).toBeGreaterThan(100)

    // Ctrl-C in a terminal reaches the whole group.
    const started = descendantsOf(pid)
    expect(started.length).toBeGreaterThanOrEqual(3)
    const [gateway = 0] = started.filter((one) => / run .*--json/.test(wordsOf(one)))
    expect(environmentOf(gateway), 'the words for its memory').toMatchObject(LEAN)
    process.kill(-pid, 'SIGINT')
    await exited
    await untilAnswer(
      async () => started.filter(isAlive),
      (left) => left.length === 0,
      15_000,
    )
  })

  it('leaves no orphan when the start command alone is killed', { timeout: 400_000 }, async () => {
    const { pid } = await npmStart()
    const started = descendantsOf(pid)
    const starter = started[0]
    if (starter === undefined) throw new Error('npm start has no child')
    process.kill(starter, 'SIGKILL')
    await untilAnswer(
      async () => started.filter(isAlive),
      (left) => left.length === 0,
      15_000,
    )
  })
})
