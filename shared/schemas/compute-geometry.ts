import { z } from 'zod'
import { finite, notNegative, positive } from './compute-numbers.ts'

/**
 * POST /api/compute/geometry: what the signals of a measuring roller should be, from its web path and state. SI, angles
 * in rad counter-clockwise from downstream; x downstream, y up.
 */
const point = z.strictObject({ x: finite, y: finite })
const roller = z.strictObject({
  name: z.string().min(1).max(60),
  centre: point,
  radius: positive,
  turn: z.literal([1, -1]).describe('+1 when the web turns it counter-clockwise, −1 clockwise'),
})

const chain = z.discriminatedUnion('kind', [
  z.strictObject({ kind: z.literal('mV/V'), ratedOutput: positive, zeroBalance: finite.default(0) }),
  z.strictObject({
    kind: z.literal('mV'),
    ratedOutput: positive,
    zeroBalance: finite.default(0),
    excitation: positive,
  }),
  z.strictObject({
    kind: z.enum(['4-20mA', '0-10V', '±10V']),
    fullScaleForce: positive,
    zeroedOn: z.enum(['unloaded cell', 'bare roller']).default('bare roller'),
  }),
])
const cell = z.strictObject({ arrow: finite, capacity: positive, chain })

const moving = z.discriminatedUnion('kind', [
  z.strictObject({
    kind: z.literal('winding-roll'),
    at: z.enum(['before', 'after']),
    coreRadius: positive,
    fullRadius: positive,
  }),
  z.strictObject({
    kind: z.literal('dancer-arm'),
    at: z.enum(['before', 'after']),
    pivot: point,
    armLength: positive,
    lowestAngle: finite,
    highestAngle: finite,
  }),
])

const geometryDescription = z.strictObject({
  path: z.strictObject({
    before: z.array(roller).min(1).max(8).describe("In the web's order; the last is the neighbour"),
    measuring: roller,
    after: z.array(roller).min(1).max(8),
  }),
  moving: moving.nullable().default(null),
  roller: z.strictObject({
    kind: z.enum(['dead-shaft idler', 'live shaft', 'cantilever']).default('dead-shaft idler'),
    mass: notNegative.describe('On the cells, kg'),
    centreOfMass: finite.default(0).describe('From mid-span towards the operator side, m'),
    friction: positive.nullable().default(null),
  }),
  mount: z.enum(['foot', 'flange', 'pillow block']).default('flange'),
  cells: z.union([z.strictObject({ drive_side: cell, operator_side: cell }), z.strictObject({ single: cell })]),
  cellDistance: positive.nullable().default(null).describe('m; needed with two cells'),
  web: z.strictObject({ width: positive, basisWeight: notNegative.describe('kg/m²') }),
  gravity: positive.min(9.7).max(9.9).default(9.80665),
  target: z
    .discriminatedUnion('kind', [
      z.strictObject({ kind: z.literal('bisector') }),
      z.strictObject({ kind: z.literal('bisector-at'), neighbour: finite }),
      z.strictObject({ kind: z.literal('mount-axis'), angle: finite }),
    ])
    .default({ kind: 'bisector' }),
  load: z.strictObject({
    smallest: positive,
    normal: positive,
    largest: positive,
    overloadFactor: finite.min(1).default(2).describe('Common practice'),
    fastestSpeed: notNegative,
    linesOfPull: z.tuple([finite, finite]).default([0, 0]),
  }),
  fit: z
    .strictObject({
      growth: z.strictObject({
        length: positive,
        shaftExpansion: notNegative,
        frameExpansion: notNegative,
        shaftWarming: finite,
        frameWarming: finite,
      }),
      ends: z.strictObject({ clearance: notNegative, shared: z.boolean().default(false) }),
    })
    .nullable()
    .default(null),
  air: z
    .strictObject({ webRoughness: positive, rollerRoughness: positive, viscosity: positive })
    .nullable()
    .default(null),
})

const operatingState = z.strictObject({
  tension: notNegative.describe('Mean of arriving and leaving span, N'),
  tensionRise: finite.default(0).describe('Leaving less arriving, N'),
  speed: notNegative.default(0),
  lineOfPull: finite.default(0),
  webOffset: finite.default(0),
  neighbour: finite.nullable().default(null).describe('Radius, m, or angle, rad, of the moving neighbour'),
})

const GEOMETRY_INPUT_KEYS = [
  ...(['before', 'measuring', 'after'] as const).flatMap((which) =>
    (['x', 'y', 'radius'] as const).map((axis) => `${which}.${axis}` as const),
  ),
  ...(['drive_side', 'operator_side', 'single'] as const).flatMap(
    (side) => [`arrow.${side}`, `sensitivity.${side}`] as const,
  ),
  'neighbour',
  'cellDistance',
  'mass',
  'centreOfMass',
  'gravity',
  'width',
  'basisWeight',
  'tension',
  'tensionRise',
  'speed',
  'lineOfPull',
  'webOffset',
] as const

export const geometryRequest = z.strictObject({
  geometry: geometryDescription,
  state: operatingState,
  uncertainties: z
    .partialRecord(
      z.enum(GEOMETRY_INPUT_KEYS),
      z.strictObject({
        u: notNegative,
        dof: positive.min(1).optional(),
        shape: z.enum(['normal', 'rectangular']).optional(),
        source: z.string().max(120).optional(),
      }),
    )
    .default({})
    .describe('Standard uncertainties, SI; the common-practice ones where absent'),
})

const number = z.number()
const orNull = z.number().nullable()
const words = z.object({
  fromVertical: number,
  pointing: z.enum(['up', 'down', 'level']),
  leaning: z.enum(['upstream', 'downstream', 'neither']),
  sentence: z.string(),
})

/** A figure by the law of propagation, with its budget. */
const propagated = z.object({
  value: orNull,
  u: orNull,
  U: orNull,
  k: orNull,
  dof: orNull,
  budget: z.array(
    z.object({
      name: z.string(),
      unit: z.string(),
      value: number,
      u: number,
      source: z.string().nullable(),
      sensitivity: orNull,
      contribution: orNull,
      share: orNull,
    }),
  ),
})

const sided = <T extends z.ZodType>(value: T) =>
  z.union([z.object({ drive_side: value, operator_side: value }), z.object({ single: value })])

const outputFit = z.enum(['fits', 'under', 'over'])
const expectedSide = z.object({
  forceFactor: number,
  tensionShare: number,
  webShare: number,
  weightShare: number,
  webForce: number,
  bareForce: number,
  force: number,
  arrow: number,
  words,
  offBisector: number,
  loss: number,
  offTarget: number,
  turn: z.string(),
  bareSignal: number,
  signal: number,
  output: outputFit,
  capacity: z.array(
    z.object({ name: z.string(), force: number, ofCapacity: number, signal: number, output: outputFit }),
  ),
  smallestUse: number,
})

const vector = z.object({ x: number, y: number })
const span = z.object({ direction: vector, angle: number, from: vector, to: vector, length: number })

export const geometryResult = z.discriminatedUnion('possible', [
  z.object({
    possible: z.literal(false),
    /** Why the web cannot run so, and in a sentence. */
    fault: z.object({ kind: z.string() }).loose(),
    sentence: z.string(),
  }),
  z.object({
    possible: z.literal(true),
    expected: z.object({
      wrap: z.object({
        incoming: span,
        outgoing: span,
        angle: number,
        turn: z.literal([1, -1]),
        pull: vector,
        bisector: number,
      }),
      momentum: number,
      sides: sided(expectedSide),
      webForce: number,
      bareForce: number,
      force: number,
      imbalance: orNull,
      lineOfForce: orNull,
      span: number,
      target: z.object({ angle: number, words }),
      film: z.object({ thickness: number, ratio: number }).nullable(),
      fit: z.object({ growth: number, left: number }).nullable(),
      frictionNeeded: orNull,
      warnings: z.array(z.object({ code: z.string(), sentence: z.string() }).loose()),
    }),
    uncertainty: z.object({
      wrap: propagated,
      webForce: propagated,
      sides: sided(
        z.object({
          forceFactor: propagated,
          webForce: propagated,
          bareForce: propagated,
          force: propagated,
          signal: propagated,
        }),
      ),
    }),
  }),
])

export type GeometryRequestInput = z.input<typeof geometryRequest>
export type GeometryRequest = z.output<typeof geometryRequest>
export type GeometryResult = z.infer<typeof geometryResult>
