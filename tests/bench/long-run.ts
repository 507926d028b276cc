/**
 * Thirty days in a few minutes: a day's recording, repeated, through the gateway as a process at full
 * speed, one sample a second. Prints memory early and late, so that a leak has a month to show.
 */
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { startGatewayProcess } from '../integration/support/gateway.ts'
import type { Measured } from './bench.ts'

const DAY_S = 86_400
const DAYS = 30
const GIVE_UP_MS = 10 * 60_000

/** Two sides with a slow swing and a little seeded noise, a row a second. */
function recordedDay(): string {
  let seed = 1
  const noise = () => {
    seed = (seed * 1_103_515_245 + 12_345) % 2 ** 31
    return seed / 2 ** 31 - 0.5
  }
  const rows = Array.from({ length: DAY_S }, (_, t) => {
    const swing = 5 * Math.sin((2 * Math.PI * t) / 7200)
    return `${t},${(120 + swing + noise()).toFixed(3)},${(125 + swing + noise()).toFixed(3)}`
  })
  return `time,drive_side,operator_side\n${rows.join('\n')}\n`
}

export async function run(): Promise<Measured[]> {
  const folder = mkdtempSync(join(tmpdir(), 'evenpull-long-run-'))
  const file = join(folder, 'day.csv')
  writeFileSync(file, recordedDay())
  const cell = (id: string, column: string) => ({ id, device: 'rec', column, force: { gain: 1, capacity: 500 } })
  const gateway = await startGatewayProcess({
    version: 1,
    devices: [{ id: 'rec', transport: 'replay', file, speed: 'max', repeat: true, rate_hz: 1 }],
    channels: [cell('ds', 'drive_side'), cell('os', 'operator_side')],
    zones: [{ id: 'z', cells: { drive_side: 'ds', operator_side: 'os' } }],
  })
  try {
    const started = performance.now()
    const memory: { readonly days: number; readonly mb: number }[] = []
    while ((memory.at(-1)?.days ?? 0) < DAYS && performance.now() - started < GIVE_UP_MS) {
      await new Promise((resolve) => setTimeout(resolve, 500))
      const health = await gateway.health()
      memory.push({ days: (health.devices[0]?.answers ?? 0) / DAY_S, mb: health.memoryMb })
    }
    return summary(memory, (performance.now() - started) / 1000)
  } finally {
    await gateway.stop()
    rmSync(folder, { recursive: true, force: true })
  }
}

function summary(memory: readonly { readonly days: number; readonly mb: number }[], seconds: number): Measured[] {
  const days = memory.at(-1)?.days ?? 0
  const highest = (from: number, to: number) =>
    Math.max(...memory.filter((m) => m.days >= from * days && m.days <= to * days).map((m) => m.mb))
  return [
    { name: 'days of samples at 1/s', value: days, unit: 'd', note: `in ${Math.round(seconds)} s` },
    {
      name: 'memory, highest in the second sixth',
      value: highest(1 / 6, 1 / 3),
      unit: 'MB',
      note: 'resident, gateway process',
    },
    { name: 'memory, highest in the last sixth', value: highest(5 / 6, 1), unit: 'MB', note: 'target: flat, < 200 MB' },
  ]
}
