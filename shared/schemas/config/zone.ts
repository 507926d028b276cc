import { z } from 'zod'
import { zoneGeometry } from '../geometry.ts'
import { zoneAlarms } from './alarms.ts'
import { limits, verification } from './limits.ts'
import { id, positive } from './parts.ts'

const cells = z.union([z.strictObject({ drive_side: id, operator_side: id }), z.strictObject({ single: id })])

const forceFactorValue = z.number().refine((k) => k !== 0, 'a force factor of 0 sees no web tension')

export const zone = z.strictObject({
  id,
  name: z.string().min(1).max(80).optional(),
  cells: cells.describe('drive_side and operator_side, or single for a cantilever roller'),
  speed: id.optional(),
  roller_speed: id.optional(),
  reference: id.optional().describe('Channel that tells the set tension'),
  temperature: id.optional(),
  neighbour: id.optional().describe('Channel that tells the diameter of a winding roll beside the measuring roller'),
  cell_distance_m: positive.max(20).optional().describe('Between the two cells; needed for the line of pull'),
  web_width_m: positive.max(20).optional(),
  natural_frequency_hz: positive
    .max(1000)
    .optional()
    .describe(
      'Of the measuring roller on its cells, where it is known: a line of the spectrum is then offered with it',
    ),
  web_offset_m: z
    .number()
    .default(0)
    .describe('Where the web runs: its centre from mid-span, towards the operator side'),
  force_factor: z
    .union([forceFactorValue, z.strictObject({ drive_side: forceFactorValue, operator_side: forceFactorValue })])
    .optional()
    .describe(
      'Newtons along the arrows per newton of web tension; without it the forces along the arrows are shown. Not used where geometry tells it',
    ),
  u_force_factor_percent: z
    .number()
    .min(0)
    .optional()
    .describe('Standard uncertainty of the force factor; without it 1 is assumed (common practice) and marked so'),
  geometry: zoneGeometry
    .optional()
    .describe('Web path, arrows, weights: what the signals should be; its force factor goes before force_factor'),
  average_s: positive.min(1).max(600).default(30).describe('Window of tension, side difference and noise'),
  noise_block_s: positive
    .min(0.1)
    .max(60)
    .default(2)
    .describe('Motion slower than this is removed before noise is taken'),
  drift_s: positive.min(30).max(86_400).default(1800).describe('Longest window of the drift rate'),
  slack_below_n: z
    .number()
    .min(0)
    .optional()
    .describe(
      'Total under this is a slack web: side difference and noise say so; default 2 % of capacity (common practice)',
    ),
  steady: z
    .strictObject({
      speed_percent: positive
        .default(1)
        .describe('Largest change of speed in a window that still counts as steady (common practice)'),
      reference_percent: positive.default(2).describe('The same for the reference (common practice)'),
    })
    .prefault({}),
  limits: limits.prefault({}),
  verification: verification.prefault({}).describe('Limits of the tests that prove an install'),
  alarms: zoneAlarms.prefault({}),
})
