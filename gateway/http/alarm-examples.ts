import type { Alarm, AlarmList, AlarmReading } from '../../shared/schemas/alarms.ts'

/** Examples of the alarm routes, of the same invented line. */
const TIME_MS = 1_760_000_000_000

const reading: AlarmReading = {
  value: 1.31,
  unit: '%',
  U: 0.06,
  limit: 1,
  limitSource: 'common practice, no source',
  sentence: 'Outside its limit, uncertainty included.',
  timeMs: TIME_MS,
}

export const exampleAlarm: Alarm = {
  id: 'unwind.noise.single',
  zone: 'unwind',
  zoneName: 'Unwind',
  rule: 'noise',
  title: 'Noise, load cell',
  wrong: 'outside its limit',
  priority: 'low',
  state: 'unacknowledged',
  standing: 'active',
  sinceMs: TIME_MS - 40_000,
  acknowledged: false,
  asksForNotice: true,
  acknowledgedBy: null,
  occurrence: { beganMs: TIME_MS - 50_000, announcedMs: TIME_MS - 40_000 },
  shelved: null,
  outOfService: null,
  firstOut: true,
  latched: false,
  now: reading,
  announced: { ...reading, value: 1.27, timeMs: TIME_MS - 40_000 },
}

export const exampleAlarms: AlarmList = {
  timeMs: TIME_MS,
  alarms: [exampleAlarm],
  off: [
    {
      id: 'unwind.agreement',
      zone: 'unwind',
      zoneName: 'Unwind',
      title: 'Agreement with what is expected',
      why: 'the zone has no geometry that tells what to expect',
    },
  ],
  counts: { asking: 1, active: 1, unknown: 0, shelved: 0, outOfService: 0, off: 1, highest: 'low' },
  flood: {
    announced: 1,
    perPosition: 1,
    positions: 1,
    level: 'acceptable',
    windowMs: 600_000,
    limits: [
      { level: 'acceptable', upTo: 1 },
      { level: 'manageable', upTo: 2 },
      { level: 'demanding', upTo: 10 },
    ],
    source: 'ANSI/ISA-18.2',
  },
  longestShelvingMinutes: 480,
  webhook: null,
  notKept: null,
}
