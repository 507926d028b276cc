import type { ConfigInput } from '../../shared/schemas/config.ts'
import type { RecordingSurvey } from './survey-recording.ts'

export interface ReplayChoices {
  /** Absolute path of the CSV. */
  readonly file: string
  readonly survey: RecordingSurvey
  readonly forceUnit: 'N' | 'kN' | 'lbf' | 'kgf'
  readonly speedUnit: 'm/s' | 'm/min' | 'ft/min'
  readonly speed: number | 'max'
  /** Of each cell, in the force unit. */
  readonly capacity: number
  /** Nobody gave the capacity: nothing may be judged by it, and the zone says so. */
  readonly capacityIsAssumed: boolean
}

const FASTEST_HZ = 1000

/**
 * The config that plays a recording: one replay device, a channel for every column that is known,
 * one zone. The values are forces already, so that zero is 0 and gain 1.
 */
export function replayConfig(choices: ReplayChoices): ConfigInput {
  const { file, survey, forceUnit, speedUnit, speed, capacity, capacityIsAssumed } = choices
  const has = (column: string) => survey.columns.includes(column)
  const rate = survey.rowsPerSecond
  // A share of a capacity that nobody knows is no uncertainty.
  const force = { unit: forceUnit, gain: 1, capacity, ...(capacityIsAssumed ? { u_zero_percent: 0 } : {}) }
  const others = [
    { id: 'speed', measures: 'speed', scale: { unit: speedUnit } },
    { id: 'reference', measures: 'tension', scale: { unit: forceUnit } },
    { id: 'temperature', measures: 'temperature', scale: { unit: '°C' } },
  ] as const
  const present = others.filter(({ id }) => has(id))
  return {
    version: 1,
    devices: [{ id: 'recording', transport: 'replay', file, speed, rate_hz: Math.min(FASTEST_HZ, rate) }],
    channels: [
      { id: 'drive-side', name: 'Drive side', device: 'recording', column: 'drive_side', force },
      { id: 'operator-side', name: 'Operator side', device: 'recording', column: 'operator_side', force },
      ...present.map((channel) => ({ ...channel, device: 'recording', column: channel.id })),
    ],
    zones: [
      {
        id: 'recording',
        name: capacityIsAssumed ? 'Recording (capacity assumed)' : 'Recording',
        cells: { drive_side: 'drive-side', operator_side: 'operator-side' },
        ...Object.fromEntries(present.map(({ id }) => [id, id])),
      },
    ],
  }
}
