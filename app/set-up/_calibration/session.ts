import { z } from 'zod'
import { fieldNumber } from '../../_ui/typed-number.ts'

/**
 * A calibration on its way: all that was typed and captured, kept in the browser until it is accepted or discarded.
 * Fields that a person types stay text, so that half a number survives a reload as it was typed.
 */
const steadyReading = z.object({ reading: z.number(), u: z.number(), samples: z.number(), seconds: z.number() })

const sessionPoint = z.object({
  id: z.int(),
  cycle: z.int(),
  direction: z.enum(['up', 'down']),
  mass: z.number(),
  massUnit: z.enum(['kg', 'lb']),
  timeMs: z.number(),
  /** false: retaken or left out; listed all the same. */
  used: z.boolean(),
  readings: z.record(z.string(), steadyReading),
})

const typedFields = z.object({
  massUnit: z.enum(['kg', 'lb']),
  uMassPercent: z.string(),
  gravity: z.string(),
  uGravity: z.string(),
  factorFrom: z.enum(['typed', 'wrap', 'geometry']),
  factor: z.string(),
  uFactorPercent: z.string(),
  wrapDeg: z.string(),
  offDeg: z.string(),
  ropeMm: z.string(),
  ropeOffMm: z.string(),
  expectedForce: z.string(),
  expectedRise: z.string(),
  uExpectedPercent: z.string(),
  spanN: z.string(),
  note: z.string(),
  /** Off-centre check; what an older page kept has none of these. */
  offMass: z.string().default(''),
  offPlaceMm: z.string().default('0'),
  uPlaceMm: z.string().default('2'),
  uDistanceMm: z.string().default('2'),
  /** Creep. */
  holdMass: z.string().default(''),
  cellClass: z.enum(['C3', 'C1', 'D1', 'none']).default('C1'),
})

/** The same weight at one place across the roller; from mid-span towards the operator side, mm. */
const offCentrePlace = z.object({
  id: z.int(),
  placeMm: z.number(),
  mass: z.number(),
  timeMs: z.number(),
  used: z.boolean(),
  readings: z.record(z.string(), steadyReading),
})

/** A weight that hangs, and what was read meanwhile. Epoch ms of the gateway. */
const hold = z.object({
  mass: z.number(),
  startMs: z.number(),
  /** null while it goes on. */
  endMs: z.number().nullable(),
  readings: z.array(z.object({ timeMs: z.number(), readings: z.record(z.string(), steadyReading) })),
})

export const session = z.object({
  version: z.literal(1),
  /** Side that is calibrated; `both` at once. */
  sides: z.string(),
  typed: typedFields,
  next: z.object({ cycle: z.int(), direction: z.enum(['up', 'down']), mass: z.string() }),
  points: z.array(sessionPoint),
  offCentre: z.array(offCentrePlace).default([]),
  hold: hold.nullable().default(null),
})

export type OffCentrePlace = z.infer<typeof offCentrePlace>
export type Hold = z.infer<typeof hold>
export type SessionPoint = z.infer<typeof sessionPoint>
export type TypedFields = z.infer<typeof typedFields>
export type Session = z.infer<typeof session>

export const EMPTY_SESSION: Session = {
  version: 1,
  sides: 'both',
  typed: {
    massUnit: 'kg',
    uMassPercent: '0.05',
    gravity: '9.80665',
    uGravity: '0.02',
    factorFrom: 'geometry',
    factor: '',
    uFactorPercent: '1',
    wrapDeg: '',
    offDeg: '0',
    ropeMm: '8',
    ropeOffMm: '5',
    expectedForce: '',
    expectedRise: '',
    uExpectedPercent: '0.25',
    spanN: '',
    note: '',
    offMass: '',
    offPlaceMm: '0',
    uPlaceMm: '2',
    uDistanceMm: '2',
    holdMass: '',
    cellClass: 'C1',
  },
  next: { cycle: 1, direction: 'up', mass: '0' },
  points: [],
  offCentre: [],
  hold: null,
}

/** The cycles a person is led through. */
export const CYCLES = [1, 2, 3] as const

const isSame = (a: SessionPoint, b: Pick<SessionPoint, 'cycle' | 'direction' | 'mass' | 'massUnit'>) =>
  a.cycle === b.cycle && a.direction === b.direction && a.mass === b.mass && a.massUnit === b.massUnit

/** Adds a point; one taken before at the same cycle, direction and mass stays listed, unused. */
export function withPoint(before: Session, taken: Omit<SessionPoint, 'id' | 'used'>): Session {
  const id = before.points.reduce((most, point) => Math.max(most, point.id), 0) + 1
  const others = before.points.map((point) => (isSame(point, taken) ? { ...point, used: false } : point))
  const after = { ...before, points: [...others, { ...taken, id, used: true }] }
  return { ...after, next: nextStep(after) }
}

/** Uses a point again or leaves it out; of the same cycle, direction and mass only one is used. */
export function withUse(before: Session, id: number, used: boolean): Session {
  const chosen = before.points.find((point) => point.id === id)
  if (chosen === undefined) return before
  const points = before.points.map((point) => {
    if (point.id === id) return { ...point, used }
    return used && isSame(point, chosen) ? { ...point, used: false } : point
  })
  return { ...before, points }
}

/** Masses of the first cycle, ascending: what the later ones repeat. */
function plannedMasses({ points }: Session): number[] {
  const masses = points.filter(({ used, cycle }) => used && cycle === 1).map(({ mass }) => mass)
  return [...new Set(masses)].sort((a, b) => a - b)
}

/** What to hang next, after the newest point: heavier while going up (typed in the first cycle), lighter while going down. */
function nextStep(now: Session): Session['next'] {
  const last = [...now.points].reverse().find(({ used }) => used)
  if (last === undefined) return { cycle: 1, direction: 'up', mass: '0' }
  const { cycle, direction, mass } = last
  const plan = plannedMasses(now)
  if (direction === 'down') {
    const lighter = plan.filter((one) => one < mass).at(-1)
    if (lighter !== undefined) return { cycle, direction, mass: fieldNumber(lighter) }
    return { cycle: Math.min(CYCLES.length, cycle + 1), direction: 'up', mass: '0' }
  }
  if (cycle === 1) return { cycle, direction, mass: '' }
  const heavier = plan.find((one) => one > mass)
  return heavier === undefined ? turnedRound(now, cycle) : { cycle, direction, mass: fieldNumber(heavier) }
}

/** The way down begins with the heaviest weight once more, reached from above. */
export function turnedRound(now: Session, cycle: number): Session['next'] {
  const heaviest = now.points.filter((p) => p.used && p.cycle === cycle).reduce((most, p) => Math.max(most, p.mass), 0)
  return { cycle, direction: 'down', mass: fieldNumber(heaviest) }
}

/** Adds a place; the same one taken before stays listed, unused. */
export function withPlace(before: Session, taken: Omit<OffCentrePlace, 'id' | 'used'>): Session {
  const id = before.offCentre.reduce((most, one) => Math.max(most, one.id), 0) + 1
  const others = before.offCentre.map((one) => (one.placeMm === taken.placeMm ? { ...one, used: false } : one))
  return { ...before, offCentre: [...others, { ...taken, id, used: true }] }
}

/** Longest hold, s, with a little room for the reading that 30 min ask for. */
const HOLD_SECONDS = 1805

/**
 * Adds a reading to the hold that goes on, and ends it with the one after 30 minutes; nothing without one. A reading of
 * no side is none.
 */
export function withHeld(before: Session, taken: Hold['readings'][number]): Session {
  const { hold: held } = before
  if (!Number.isFinite(taken.timeMs) || Object.keys(taken.readings).length === 0) return before
  if (held === null || held.endMs !== null || taken.timeMs <= (held.readings.at(-1)?.timeMs ?? 0)) return before
  const isOver = taken.timeMs - held.startMs >= HOLD_SECONDS * 1000
  const readings = [...held.readings, taken]
  return { ...before, hold: { ...held, readings, endMs: isOver ? taken.timeMs : null } }
}
