/**
 * `npm run soak -- CONFIG|ADDRESS [--hours 8] [--seconds N] [--every S] [--out FILE] [--port PORT]`: watches a gateway for hours, a
 * row a minute (`--every`) in a CSV that is on the disk before the next look. CONFIG is started for it; an ADDRESS
 * (http://…) is only asked: EVENPULL_TOKEN holds a token where it has users. Reads alone. Ctrl-C ends it with the summary.
 * Exit code 1 when the gateway did not answer once, lost samples, or was started anew.
 */
import { type ChildProcess, spawn } from 'node:child_process'
import { closeSync, fsyncSync, openSync, writeSync } from 'node:fs'
import { basename, resolve } from 'node:path'
import { setTimeout as wait } from 'node:timers/promises'
import { fileURLToPath } from 'node:url'
import { parseArgs } from 'node:util'
import { type Health, health as healthSchema } from '../../shared/schemas/health.ts'
import { factsOf } from './process-facts.ts'
import { type SoakRow, soakHeader, soakLine, soakSummary } from './soak-row.ts'

const EVENPULL = fileURLToPath(new URL('../../gateway/cli/evenpull.mjs', import.meta.url))
const ANSWER_WITHIN_MS = 20_000

const { values, positionals } = parseArgs({
  allowPositionals: true,
  options: {
    hours: { type: 'string', default: '8' },
    seconds: { type: 'string' },
    every: { type: 'string', default: '60' },
    out: { type: 'string' },
    port: { type: 'string' },
  },
})
const [subject] = positionals
const forMs = values.seconds === undefined ? Number(values.hours) * 3_600_000 : Number(values.seconds) * 1000
const everyMs = Number(values.every) * 1000
if (subject === undefined || !(forMs > 0) || !(everyMs > 0)) {
  console.error('expected a config or an address, --hours or --seconds over 0, --every over 0')
  process.exit(2)
}

const stopping = new AbortController()
for (const signal of ['SIGINT', 'SIGTERM'] as const) process.on(signal, () => stopping.abort())

const isAddress = /^https?:\/\//.test(subject)
const gateway = isAddress ? null : await startGateway(resolve(subject))
const address = gateway?.address ?? subject.replace(/\/$/, '')
const stamp = new Date().toISOString().slice(0, 16).replace(':', '')
const place = isAddress ? basename(new URL(address).host).replace(':', '-') : resolve(subject)
const path = resolve(values.out ?? `${place}.soak-${stamp}Z.csv`)
const file = openSync(path, 'a')
console.log(`watching ${address} for ${Number((forMs / 3_600_000).toFixed(4))} h; rows go to ${path}`)

const rows: SoakRow[] = []
let devices: readonly string[] | null = null
await untilDevicesAreTold()
const endMs = performance.now() + forMs
try {
  for (let dueMs = performance.now(); !stopping.signal.aborted; dueMs += everyMs) {
    const row = await look()
    rows.push(row)
    if (devices === null && row.health !== null) {
      devices = row.health.devices.map(({ id }) => id)
      write(soakHeader(devices))
    }
    if (devices !== null) write(soakLine(row, devices))
    const nextMs = Math.min(endMs, dueMs + everyMs)
    if (nextMs <= performance.now() && performance.now() >= endMs) break
    await wait(Math.max(0, nextMs - performance.now()), undefined, { signal: stopping.signal }).catch(() => {})
    if (performance.now() >= endMs && nextMs === endMs) break
  }
} finally {
  closeSync(file)
  await gateway?.stop()
}
for (const line of soakSummary(rows)) console.log(line)
const last = rows.findLast(({ health }) => health !== null)?.health
const restarted = rows.some(({ health }, i) => (health?.upSeconds ?? Infinity) < (rows[i - 1]?.health?.upSeconds ?? 0))
const isSound = rows.every(({ health }) => health !== null) && last?.recorder.lostSamples === 0 && !restarted
process.exitCode = isSound ? 0 : 1

function write(line: string): void {
  writeSync(file, `${line}\n`)
  fsyncSync(file)
}

/** A gateway that has only just started names none yet; the columns of the file are theirs. */
async function untilDevicesAreTold(): Promise<void> {
  const deadline = performance.now() + ANSWER_WITHIN_MS
  while (!stopping.signal.aborted && performance.now() < deadline) {
    if (((await ask())?.devices.length ?? 0) > 0) return
    await wait(200)
  }
}

async function look(): Promise<SoakRow> {
  return { timeMs: Date.now(), health: await ask(), facts: gateway === null ? null : factsOf(gateway.pid) }
}

async function ask(): Promise<Health | null> {
  const token = process.env.EVENPULL_TOKEN
  try {
    const answer = await fetch(`${address}/api/health`, {
      signal: AbortSignal.timeout(ANSWER_WITHIN_MS),
      ...(token === undefined ? {} : { headers: { authorization: `Bearer ${token}` } }),
    })
    return answer.ok ? healthSchema.parse(await answer.json()) : null
  } catch {
    return null
  }
}

async function startGateway(config: string): Promise<{ address: string; pid: number; stop: () => Promise<void> }> {
  // A group of its own: Ctrl-C is for the watcher, who stops it when the last row is written.
  const child: ChildProcess = spawn(
    process.execPath,
    [EVENPULL, 'run', config, '--json', ...(values.port === undefined ? [] : ['--port', values.port])],
    {
      stdio: ['ignore', 'pipe', 'inherit'],
      detached: true,
    },
  )
  const exited = new Promise<void>((done) => child.once('exit', () => done()))
  const found = await new Promise<string | null>((done) => {
    let text = ''
    child.stdout?.on('data', (chunk) => {
      text += String(chunk)
      const [, told] = /"address":"([^"]+)"/.exec(text) ?? []
      if (told !== undefined) done(told)
    })
    void exited.then(() => done(null))
  })
  if (found === null) process.exit(3)
  const stop = async () => {
    child.kill('SIGTERM')
    await exited
  }
  return { address: found, pid: child.pid ?? 0, stop }
}
