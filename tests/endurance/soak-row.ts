import type { Health } from '../../shared/schemas/health.ts'
import type { ProcessFacts } from './process-facts.ts'

/** One look at a gateway, as a row of the file; what cannot be told is empty, never 0. */
export interface SoakRow {
  readonly timeMs: number
  /** Null: the gateway did not answer. */
  readonly health: Health | null
  /** Null: its process is not of this machine, or gone. */
  readonly facts: ProcessFacts | null
}

const GENERAL = ['time', 'status', 'up_s', 'memory_mb', 'files', 'threads', 'recorder', 'store_mb', 'lost_samples']
const OF_DEVICE = ['state', 'hz', 'answers', 'errors', 'missed_ticks', 'reconnects', 'age_s']

export const soakHeader = (devices: readonly string[]): string =>
  [...GENERAL, ...devices.flatMap((id) => OF_DEVICE.map((name) => `${id}_${name}`)), 'last_error'].join()

/** Devices are told in the order of the header; one that is not there any more is empty. */
export function soakLine({ timeMs, health, facts }: SoakRow, devices: readonly string[]): string {
  const general = [
    new Date(timeMs).toISOString(),
    health?.status ?? 'no answer',
    rounded(health?.upSeconds),
    rounded(health === null ? undefined : (facts?.rssMb ?? health.memoryMb), 1),
    facts?.fds,
    facts?.threads,
    health?.recorder.state,
    rounded(health?.recorder.bytes === null ? undefined : (health?.recorder.bytes ?? Number.NaN) / 1e6, 2),
    health?.recorder.lostSamples,
  ]
  const known = new Map(health?.devices.map((device) => [device.id, device]))
  const told = devices.flatMap((id) => {
    const device = known.get(id)
    if (device === undefined) return OF_DEVICE.map(() => undefined)
    const errors = device.timeouts + device.exceptions + device.violations
    const age = device.lastAnswerMs === null ? undefined : ((health?.timeMs ?? 0) - device.lastAnswerMs) / 1000
    const { state, answers, missedTicks, reconnects } = device
    return [
      state,
      rounded(device.achievedHz ?? undefined, 2),
      answers,
      errors,
      missedTicks,
      reconnects,
      rounded(age, 2),
    ]
  })
  const last = health?.devices.flatMap(({ lastError }) => lastError ?? []).sort((a, b) => b.timeMs - a.timeMs)[0]
  return [...general, ...told, last?.code].map((value) => value ?? '').join()
}

const rounded = (value: number | undefined, digits = 0): string | undefined =>
  value === undefined || !Number.isFinite(value) ? undefined : value.toFixed(digits)

/** What a soak comes to, a line each. */
export function soakSummary(rows: readonly SoakRow[]): string[] {
  const first = rows.find(({ health }) => health !== null)
  const last = rows.findLast(({ health }) => health !== null)
  if (first?.health == null || last?.health == null) return ['The gateway never answered.']
  const hours = (last.timeMs - first.timeMs) / 3_600_000
  const silent = rows.filter(({ health }) => health === null).length
  const starts = rows.filter(({ health }, i) => {
    const before = rows[i - 1]?.health
    return health != null && before != null && health.upSeconds < before.upSeconds
  }).length
  const span = (of: (row: SoakRow) => number | undefined, unit: string) => {
    const values = rows.flatMap((row) => of(row) ?? [])
    return values.length === 0 ? 'unknown' : `${values[0]} → ${values.at(-1)} ${unit} (highest ${Math.max(...values)})`
  }
  const memory = ({ health, facts }: SoakRow) => {
    const mb = facts?.rssMb ?? health?.memoryMb
    return mb === undefined ? undefined : Math.round(mb)
  }
  return [
    `${rows.length} looks in ${Number(hours.toFixed(4))} h; ${silent} without an answer; started anew ${starts} times`,
    `memory: ${span(memory, 'MB')}`,
    `open files: ${span(({ facts }) => facts?.fds, '')}`,
    `samples lost: ${last.health.recorder.lostSamples}; recording: ${last.health.recorder.sentence}`,
    ...last.health.devices.map((device) => {
      const before = first.health?.devices.find(({ id }) => id === device.id)
      const more = (key: 'answers' | 'timeouts' | 'exceptions' | 'violations' | 'missedTicks' | 'reconnects') =>
        starts > 0 || before === undefined ? device[key] : device[key] - before[key]
      const rate = hours > 0 && starts === 0 ? `${(more('answers') / (hours * 3600)).toFixed(2)} answers/s, ` : ''
      const errors = more('timeouts') + more('exceptions') + more('violations')
      return `${device.id}: ${device.state}, ${rate}${errors} errors, ${more('missedTicks')} missed ticks, ${more('reconnects')} reconnects`
    }),
  ]
}
