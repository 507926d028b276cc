import type {
  CalibrationChangeInput,
  CalibrationRecord,
  ChangeWritten,
  GeometryChangeInput,
  GeometryView,
  RevisionList,
} from '../../shared/schemas/config-write.ts'
import type { GeometryConfigInput } from '../../shared/schemas/geometry.ts'

/** Examples of the routes that change the config, of the same invented line. */
const TIME_MS = 1_760_000_000_000
const BEFORE = '3f1c09ab27de'
const AFTER = '9b07c51fe2a4'

const geometry: GeometryConfigInput = {
  rollers: {
    before: [{ name: 'Idler 3', x_mm: -600, y_mm: -250, diameter_mm: 120, turn: 'clockwise' }],
    measuring: { name: 'Measuring roller', x_mm: 0, y_mm: 0, diameter_mm: 160, turn: 'clockwise' },
    after: [{ name: 'Idler 4', x_mm: 600, y_mm: -250, diameter_mm: 120, turn: 'clockwise' }],
  },
  roller_mass_kg: 28,
  arrows_deg: { single: -90 },
  tension: { low_n: 60, normal_n: 250, high_n: 500, fastest_m_min: 400 },
}

export const exampleGeometryView: GeometryView = {
  geometry,
  revision: BEFORE,
  zone: {
    id: 'unwind',
    name: 'Unwind',
    cellDistanceM: null,
    webWidthM: 1.2,
    webOffsetM: 0,
    forceFactor: null,
    cells: {
      single: {
        channel: 'cell-1',
        name: 'Cell 1',
        capacityN: 1000,
        electricalUnit: 'mA',
        zero: 4.02,
        gainN: 62.5,
        uGainPercent: 0.5,
        uZeroPercent: 0.1,
        range: [0, 20],
        step: 0.001,
      },
    },
  },
}

export const exampleGeometryChange: GeometryChangeInput = { who: 'A. Fitter', baseRevision: BEFORE, geometry }

const record: CalibrationRecord = {
  kind: 'zero',
  unit: 'mA',
  points: [
    {
      cycle: 1,
      direction: 'up',
      mass: 0,
      massUnit: 'kg',
      forceN: 0,
      reading: 4.0312,
      u: 0.0004,
      samples: 1000,
      seconds: 10,
      timeMs: TIME_MS,
      used: true,
    },
  ],
}

export const exampleCalibrationChange: CalibrationChangeInput = {
  who: 'A. Fitter',
  baseRevision: BEFORE,
  zero: 4.0312,
  uZeroPercent: 0.003,
  record,
}

export const exampleWritten: ChangeWritten = { revision: AFTER }

export const exampleRevisions: RevisionList = {
  current: AFTER,
  total: 2,
  revisions: [
    {
      revision: AFTER,
      previous: BEFORE,
      timeMs: TIME_MS,
      who: 'A. Fitter',
      action: 'zero',
      words: 'channel cell-1: force.zero 4.02 → 4.0312.',
      changes: [{ key: 'channel cell-1: force.zero', before: 4.02, after: 4.0312 }],
      sha256: `${AFTER}${'0'.repeat(52)}`,
      record,
    },
    {
      revision: BEFORE,
      previous: null,
      timeMs: TIME_MS - 86_400_000,
      who: null,
      action: 'first seen',
      words: 'The first config that was seen here.',
      changes: [],
      sha256: `${BEFORE}${'0'.repeat(52)}`,
      record: null,
    },
  ],
}
