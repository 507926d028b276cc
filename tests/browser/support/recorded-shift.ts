import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import type { ConfigInput } from '../../../shared/schemas/config.ts'
import type { ZoneHistory } from '../../../shared/schemas/history.ts'
import { type GatewayProcess, startGatewayProcess, untilAnswer } from '../../integration/support/gateway.ts'
import { noise, seededRandom } from './made-line.ts'

const HOURS = 2
const RATE_HZ = 2

/** Two hours of a running web with one stop and one stretch in which nothing was recorded; the side difference drifts. */
function recording(): string {
  const random = seededRandom(7)
  const rows = ['time,drive_side,operator_side,speed,temperature']
  for (let i = 0; i < HOURS * 3600 * RATE_HZ; i++) {
    const t = i / RATE_HZ
    const hours = t / 3600
    if (hours > 1.3 && hours < 1.33) continue
    const isStopped = t < 240 || (hours > 0.8 && hours < 0.9)
    const total = isStopped ? 0 : 400 + 2 * Math.sin(t / 200)
    const split = 0.01 + 0.01 * hours
    const side = (sign: number) => (total * (0.5 + sign * split) + noise(random, 0.8) + 1).toFixed(2)
    const speed = (isStopped ? 0 : 4 + noise(random, 0.004)).toFixed(3)
    rows.push(`${t},${side(-1)},${side(1)},${speed},${(22 + hours).toFixed(2)}`)
  }
  return `${rows.join('\n')}\n`
}

export interface RecordedShift {
  readonly gateway: GatewayProcess
  /** What the store holds of the zone. */
  readonly keptFromMs: number
  readonly keptToMs: number
  close(): Promise<void>
}

/** A gateway as a user runs it, that has recorded a shift as fast as it was played. */
export async function startRecordedShift(): Promise<RecordedShift> {
  const folder = mkdtempSync(join(tmpdir(), 'evenpull-shift-'))
  writeFileSync(join(folder, 'shift.csv'), recording())
  const still = { quality: { stuck_after_s: 0 } }
  const cell = (id: string, column: string) => ({
    id,
    device: 'rec',
    column,
    force: { gain: 1, capacity: 500 },
    ...still,
  })
  const config: ConfigInput = {
    version: 1,
    plant: 'Example plant',
    line: 'Line 1',
    recorder: { folder: join(folder, 'kept'), min_free_mb: 1 },
    devices: [{ id: 'rec', transport: 'replay', file: join(folder, 'shift.csv'), speed: 'max', rate_hz: RATE_HZ }],
    channels: [
      cell('ds', 'drive_side'),
      cell('os', 'operator_side'),
      { id: 'speed', device: 'rec', column: 'speed', measures: 'speed', scale: { unit: 'm/s' }, ...still },
      { id: 'hall', device: 'rec', column: 'temperature', measures: 'temperature', scale: { unit: '°C' }, ...still },
    ],
    zones: [
      {
        id: 'infeed',
        name: 'Infeed',
        cells: { drive_side: 'ds', operator_side: 'os' },
        speed: 'speed',
        temperature: 'hall',
        cell_distance_m: 1.6,
      },
    ],
  }
  const gateway = await startGatewayProcess(config)
  const kept = () => gateway.get<ZoneHistory>('/api/zones/infeed/history?from=0&to=8000000000000&points=2')
  await untilAnswer(
    () => gateway.health(),
    ({ devices }) => devices[0]?.state === 'ended',
    60_000,
  )
  const length = HOURS * 3_600_000 - 60_000
  const { keptFromMs, keptToMs } = await untilAnswer(
    kept,
    (answer) => (answer.keptToMs ?? 0) - (answer.keptFromMs ?? 0) > length,
    60_000,
  )
  return {
    gateway,
    keptFromMs: keptFromMs ?? 0,
    keptToMs: keptToMs ?? 0,
    close: async () => {
      await gateway.stop()
      rmSync(folder, { recursive: true, force: true })
    },
  }
}
