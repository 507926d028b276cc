/** How a number of the sizing is known: seen in a run, worked out from others, or taken for want of better. */
type Known = 'measured' | 'computed' | 'assumed'

export interface SizingConstant {
  readonly value: number
  readonly unit: string
  readonly known: Known
  /** Where from, for the reader; a test holds the measured ones against a run. */
  readonly from: string
}

/**
 * What one thing takes, on which the sizing of a plant rests. The measured ones are those of the simulated demo line:
 * zones of two sides with geometry, speed and set tension, the largest message there is.
 */
export const SIZING = {
  sampleBytes: {
    value: 0.6,
    unit: 'bytes a sample',
    known: 'measured',
    from: 'npm run bench -- store: 8 channels at 100/s; 0.6 to 0.9 by how much the signals move',
  },
  rollUpBytes: {
    value: 76,
    unit: 'bytes every 10 s a channel',
    known: 'computed',
    from: 'gateway/recorder/sizes.ts: a row of 10 s with its share of the wider ones',
  },
  minuteBytes: {
    value: 500,
    unit: 'bytes a minute a zone',
    known: 'computed',
    from: 'a row with all its digits, and what a row has beside its text',
  },
  zoneMessageBytes: {
    value: 7000,
    unit: 'bytes',
    known: 'measured',
    from: 'message of a zone of the simulated demo line; 3400 for two sides without geometry, 1400 for one side',
  },
  deviceMessageBytes: { value: 700, unit: 'bytes', known: 'measured', from: 'message of a device of the demo line' },
  stateMessageBytes: {
    value: 1000,
    unit: 'bytes',
    known: 'assumed',
    from: 'status, and the alarms that stand; each alarm that stands adds about 600 bytes',
  },
  packetBytes: {
    value: 120,
    unit: 'bytes a message',
    known: 'assumed',
    from: 'topic, properties and heads of MQTT, TCP and IP, both ways',
  },
  storedFigureBytes: {
    value: 16,
    unit: 'bytes a figure',
    known: 'assumed',
    from: 'a time and a number of 8 bytes each, before the database packs them',
  },
  storedFigures: { value: 20, unit: 'figures a zone message', known: 'assumed', from: 'values and uncertainties kept' },
  pictureBytes: {
    value: 30_000,
    unit: 'bytes a zone, four times a second',
    known: 'measured',
    from: 'figures with their reasons to an open page of the demo line',
  },
  restOfPageBytes: {
    value: 30_000,
    unit: 'bytes a second',
    known: 'measured',
    from: 'devices, alarms and samples to an open page of the demo line',
  },
} as const satisfies Record<string, SizingConstant>

/** Pictures a second to each open page: gateway/gateway.ts. */
export const PICTURES_A_SECOND = 4
