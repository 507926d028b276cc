import { z } from 'zod'

/**
 * The geometry of one zone as it stands in the config: millimetres, degrees and grams, because that is
 * what a technician measures. lib/geometry works in SI; lib/geometry/from-config turns the one into the other.
 *
 * The side view has x downstream and y up, its origin where the technician likes (the measuring
 * roller's centre, as a rule); angles are counter-clockwise from downstream. `turn` is the way the web
 * turns a roller in that view, whatever end the screen shows it from.
 */
const positive = z.number().positive()
const notNegative = z.number().min(0)

const geometryRoller = z.strictObject({
  name: z.string().min(1).max(60),
  x_mm: z.number(),
  y_mm: z.number(),
  diameter_mm: positive.max(5000),
  turn: z.enum(['clockwise', 'counter-clockwise']),
})

const moving = z.discriminatedUnion('kind', [
  z.strictObject({
    kind: z.literal('winding-roll'),
    at: z.enum(['before', 'after']),
    core_diameter_mm: positive,
    full_diameter_mm: positive,
    now_mm: positive.optional().describe('Typed diameter, where no channel tells it'),
  }),
  z.strictObject({
    kind: z.literal('dancer-arm'),
    at: z.enum(['before', 'after']),
    pivot_x_mm: z.number(),
    pivot_y_mm: z.number(),
    arm_mm: positive,
    lowest_deg: z.number(),
    highest_deg: z.number(),
    now_deg: z.number().optional(),
  }),
])

const perSide = <T extends z.ZodType>(value: T) =>
  z.union([z.strictObject({ drive_side: value, operator_side: value }), z.strictObject({ single: value })])

const output = z.discriminatedUnion('kind', [
  z.strictObject({ kind: z.literal('mV/V'), rated_output_mv_v: positive, zero_balance_mv_v: z.number().default(0) }),
  z.strictObject({
    kind: z.literal('mV'),
    rated_output_mv_v: positive,
    zero_balance_mv_v: z.number().default(0),
    excitation_v: positive,
  }),
  z.strictObject({
    kind: z.enum(['4-20mA', '0-10V', '±10V']),
    full_scale_n: positive.describe('Force that makes the full output'),
    zeroed_on: z.enum(['unloaded cell', 'bare roller']).default('bare roller'),
  }),
])

/** A standard uncertainty that is assumed, and marked so, where the config gives none. */
const assumed = (value: number, words?: string) =>
  notNegative
    .optional()
    .describe(`${words === undefined ? '' : `${words}; `}without it ${value} is assumed, by common practice`)

export const geometryUncertainty = z
  .strictObject({
    position_mm: assumed(1),
    diameter_mm: assumed(0.4),
    arrow_deg: assumed(0.5),
    mass_percent: assumed(1),
    basis_weight_percent: assumed(2),
    tension_percent: assumed(1, 'Of a reference that tells none itself'),
    line_of_pull_mm: assumed(5),
  })
  .describe('Standard uncertainties of what was measured or read off a drawing')

export const zoneGeometry = z.strictObject({
  rollers: z.strictObject({
    before: z.array(geometryRoller).min(1).max(8).describe('In the web’s order; the last is the neighbour'),
    measuring: geometryRoller,
    after: z.array(geometryRoller).min(1).max(8).describe('In the web’s order; the first is the neighbour'),
  }),
  moving: moving.optional(),
  runs_seen_from_operator_side: z
    .enum(['left to right', 'right to left'])
    .optional()
    .describe('The way the web runs for a person at the operator side who faces the roller; for pictures only'),
  roller_kind: z.enum(['dead-shaft idler', 'live shaft', 'cantilever']).default('dead-shaft idler'),
  mount: z.enum(['foot', 'flange', 'pillow block']).default('flange'),
  roller_mass_kg: positive.describe('What the cells carry: roller, and shaft where they carry it'),
  arrows_deg: perSide(z.number().min(-360).max(360)).describe(
    'Each load arrow as set, counter-clockwise from downstream',
  ),
  target: z
    .union([
      z.strictObject({ kind: z.literal('bisector') }),
      z.strictObject({
        kind: z.literal('bisector-at'),
        neighbour: z.number().describe('mm of diameter, or degrees of a dancer’s arm'),
      }),
      z.strictObject({ kind: z.literal('mount-axis'), deg: z.number() }),
    ])
    .default({ kind: 'bisector' }),
  basis_weight_gsm: notNegative.default(0).describe('g/m²; with the web width and the speed this is the momentum term'),
  gravity_m_s2: positive.min(9.7).max(9.9).default(9.80665),
  friction: positive.max(2).optional().describe('Coefficient of friction, web on roller'),
  tension: z.strictObject({
    low_n: positive,
    normal_n: positive,
    high_n: positive,
    overload_factor: z.number().min(1).max(10).default(2),
    fastest_m_min: positive,
  }),
  output: perSide(output).optional().describe('What to expect on the meter; without it only forces are told'),
  fit: z
    .strictObject({
      clearance_mm: notNegative,
      shared: z.boolean().default(false),
      shaft_expansion_per_k: positive,
      frame_expansion_per_k: positive,
      shaft_warming_k: z.number(),
      frame_warming_k: z.number(),
    })
    .optional(),
  air: z.strictObject({ web_roughness_um: positive, roller_roughness_um: positive }).optional(),
  uncertainty: geometryUncertainty.prefault({}),
})

export type GeometryConfig = z.output<typeof zoneGeometry>
export type GeometryConfigInput = z.input<typeof zoneGeometry>
export type GeometryRollerConfig = z.output<typeof geometryRoller>
