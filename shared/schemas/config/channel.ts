import { z } from 'zod'
import { id, positive } from './parts.ts'

const pair = z.tuple([z.number(), z.number()])

export const REGISTER_TYPES = ['int16', 'uint16', 'int32', 'uint32', 'float32'] as const
export const REGISTER_ORDERS = ['ABCD', 'CDAB', 'BADC', 'DCBA'] as const

export const register = z.strictObject({
  unit_id: z.int().min(0).max(255).default(1),
  function: z.literal([3, 4]).default(4).describe('3 holding registers, 4 input registers'),
  address: z
    .union([z.int().min(0).max(65_535), z.string().regex(/^[34]\d{4,5}$/)])
    .describe('0-based offset as a number; "30001" or "40001" in quotes is read as that notation and echoed back'),
  type: z.enum(REGISTER_TYPES).default('int16'),
  order: z
    .enum(REGISTER_ORDERS)
    .default('ABCD')
    .describe(
      'ABCD big-endian, CDAB words swapped, BADC bytes swapped, DCBA both; a 16-bit type swaps its bytes on BADC and DCBA',
    ),
})

export const electrical = z
  .strictObject({
    unit: z.enum(['mA', 'V', 'mV/V']),
    counts: pair.default([0, 1]).describe('Two raw values …'),
    reads: pair.default([0, 1]).describe('… and what they stand for, in the unit'),
  })
  .refine((e) => e.counts[0] !== e.counts[1], { path: ['counts'], message: 'the two raw values must differ' })

export const forceScale = z.strictObject({
  unit: z.enum(['N', 'kN', 'lbf', 'kgf']).default('N'),
  zero: z.number().default(0).describe('Reading with the bare roller, in the electrical unit (raw units without one)'),
  gain: z
    .number()
    .refine((g) => g !== 0, 'a gain of 0 would hide every force')
    .describe('Force per electrical unit; negative only where the cell is meant to read pull as push'),
  capacity: positive.describe('Rated capacity of the cell, in the force unit'),
  u_gain_percent: z
    .number()
    .min(0)
    .optional()
    .describe('Standard uncertainty of the gain; without it 0.5 is assumed (common practice) and marked so'),
  u_zero_percent: z
    .number()
    .min(0)
    .optional()
    .describe(
      'Standard uncertainty of the zero, % of capacity; without it 0.1 is assumed (common practice) and marked so',
    ),
})

export const valueScale = z
  .strictObject({
    counts: pair.default([0, 1]),
    reads: pair.default([0, 1]),
    unit: z.enum(['N', 'kN', 'lbf', 'kgf', 'm/s', 'm/min', 'ft/min', '1/s', 'rpm', '°C', '°F', 'm', 'mm', 'in', 'ft']),
    u_percent: z
      .number()
      .min(0)
      .optional()
      .describe(
        'Standard uncertainty, % of the value; without it and without u, 0.5 is assumed (common practice) and marked so',
      ),
    u: z
      .number()
      .min(0)
      .optional()
      .describe(
        'Standard uncertainty that stays when the value is 0, in the unit; without it one step of the counts over √12',
      ),
  })
  .refine((e) => e.counts[0] !== e.counts[1], { path: ['counts'], message: 'the two raw values must differ' })

export const qualityRules = z.strictObject({
  signal: z
    .enum(['4-20mA', 'none'])
    .optional()
    .describe('4-20mA applies NAMUR NE 43; default 4-20mA for a cell in mA, else none'),
  range: pair
    .optional()
    .describe('Lowest and highest believable value in the electrical unit (raw units without one); outside is bad'),
  range_uncertain: pair.optional().describe('Narrower range; outside it, inside range, is uncertain'),
  stuck_after_s: z
    .number()
    .min(0)
    .default(10)
    .describe(
      'Identical raw values for this long are frozen; 0 turns it off (common practice; off for other than cells)',
    ),
  stale_after_s: positive
    .max(60)
    .optional()
    .describe('Oldest age of a live sample; default 3 poll periods, at least 0.5 s'),
})

const CHANNEL_KINDS = ['force', 'speed', 'roller_speed', 'tension', 'temperature', 'length'] as const

export const channel = z.strictObject({
  id,
  name: z.string().min(1).max(80).optional(),
  device: id,
  measures: z.enum(CHANNEL_KINDS).default('force'),
  register: register.optional().describe('Where a Modbus device keeps it'),
  iio_channel: z
    .string()
    .regex(/^(voltage|current)\d+(-(voltage|current)\d+)?$/)
    .optional()
    .describe('voltage0, current1, voltage0-voltage1 …'),
  column: z.string().min(1).optional().describe('Column of a replayed CSV'),
  electrical: electrical.optional(),
  force: forceScale.optional().describe('For a load cell'),
  scale: valueScale.optional().describe('For everything else'),
  quality: qualityRules.prefault({}),
})
