import { stringify } from 'yaml'

/** Days and MB that are kept; small enough that a month has to let go of something of each kind. */
export interface Kept {
  readonly samplesMb: number
  readonly rollUpDays: number
  readonly minuteDays: number
}

export interface LineSettings {
  readonly recording: string
  readonly rateHz: number
  readonly speed: number | 'max'
  readonly kept: Kept
  readonly brokerPort: number | null
  /** Free space under which single samples are no longer kept. */
  readonly minFreeMb: number
}

export const CHANNELS = ['drive-cell', 'operator-cell'] as const
export const TOPIC = 'endurance'

/** The config of the gateway under endurance: one pair of cells, played from a recording. */
export function lineText({ recording, rateHz, speed, kept, brokerPort, minFreeMb }: LineSettings): string {
  const cell = (id: string, column: string) => ({
    id,
    device: 'recording',
    column,
    electrical: { unit: 'mA', counts: [0, 20_000], reads: [0, 20] },
    force: { unit: 'N', zero: 4, gain: 31.25, capacity: 500 },
  })
  const { samplesMb, rollUpDays, minuteDays } = kept
  return stringify({
    version: 1,
    devices: [{ id: 'recording', transport: 'replay', file: recording, speed, repeat: true, rate_hz: rateHz }],
    channels: [cell(CHANNELS[0], 'drive_side'), cell(CHANNELS[1], 'operator_side')],
    zones: [{ id: 'z', cells: { drive_side: CHANNELS[0], operator_side: CHANNELS[1] }, cell_distance_m: 1.6 }],
    recorder: {
      min_free_mb: minFreeMb,
      keep: {
        samples: { days: 1000, mb: samplesMb },
        roll_ups: { days: rollUpDays },
        minutes: { days: minuteDays },
      },
    },
    ...(brokerPort === null
      ? {}
      : { forward: { mqtt: { url: `mqtt://127.0.0.1:${brokerPort}`, topic: TOPIC, every_s: 1 } } }),
  })
}
