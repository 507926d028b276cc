import { type VerificationContext, verificationContext } from '../../../lib/verification/context.ts'
import type { Side } from '../../../shared/sample.ts'
import { configSchema } from '../../../shared/schemas/config.ts'
import type { Capture, CapturedSide } from '../../../shared/schemas/verification/capture.ts'
import type { RecordFigure, TestResult } from '../../../shared/schemas/verification/result.ts'
import { COATER_GEOMETRY, configWith, HALF_TURN, WINDER_GEOMETRY, type ZoneInput } from '../../geometry/configured.ts'

/** One zone of a made config, as its verification sees it. */
export const madeContext = (zone: Partial<ZoneInput>): VerificationContext =>
  verificationContext(configSchema.parse(configWith(zone)), 'outfeed', 'r1')

const CHANNELS = { speed: 'line-speed', reference: 'set' } as const

/**
 * Half a turn, arrows straight down, centred: each side reads 1 N a newton of tension, by statics. 10 kg of roller, 200 N
 * of largest tension, so that a percent of span is 2 N; m = 0.052 kg/m.
 */
export const halfTurn = (zone: Partial<ZoneInput> = {}): VerificationContext =>
  madeContext({ geometry: HALF_TURN, web_offset_m: 0, ...CHANNELS, ...zone })

/** The same with one cell: 2 N a newton. */
export const cantilever = (zone: Partial<ZoneInput> = {}): VerificationContext =>
  madeContext({
    cells: { single: 'ds' },
    geometry: { ...HALF_TURN, roller_kind: 'cantilever', arrows_deg: { single: -90 } } as ZoneInput['geometry'],
    web_offset_m: 0,
    ...CHANNELS,
    ...zone,
  })

/** A bisector some 13° from vertical, at which arrows can be found from weight. */
export const coater = (zone: Partial<ZoneInput> = {}): VerificationContext =>
  madeContext({ geometry: COATER_GEOMETRY, ...CHANNELS, ...zone })

export const winder = (zone: Partial<ZoneInput> = {}): VerificationContext =>
  madeContext({ geometry: WINDER_GEOMETRY, neighbour: 'roll', ...CHANNELS, ...zone })

const level = (name: string, x_mm: number, y_mm: number) =>
  ({ name, x_mm, y_mm, diameter_mm: 100, turn: 'clockwise' }) as const

/**
 * A right angle: the web arrives level and leaves straight down, arrows halfway between, 45° from vertical. The web pulls
 * with √2 of its tension; 20 kg of roller put 20 g/2 · cos 45° = 69.34 N on each arrow.
 */
export const rightAngle = (geometry: Partial<NonNullable<ZoneInput['geometry']>> = {}): VerificationContext =>
  halfTurn({
    geometry: {
      ...HALF_TURN,
      rollers: {
        before: [level('guide roller', -1000, 0)],
        measuring: level('measuring roller', 0, 0),
        after: [level('chill roller', 0, -1000)],
      },
      roller_mass_kg: 20,
      arrows_deg: { drive_side: -135, operator_side: -135 },
      ...geometry,
    },
  })

/** Two cells and nothing else. */
export const bareZone = (): VerificationContext => madeContext({})

/** A figure of a result. Throws where it is not there. */
export function figure(
  { figures }: TestResult,
  id: string,
  side: RecordFigure['side'] = null,
  point?: string,
): RecordFigure {
  const found = figures.find(
    (one) => one.id === id && one.side === side && (point === undefined || one.point === point),
  )
  if (found === undefined) throw new Error(`no ${id} of ${side} in ${figures.map((one) => one.id).join(', ')}`)
  return found
}

/** A capture in which a side did something else too. */
export const withSide = (capture: Capture, side: Side, more: Partial<CapturedSide>): Capture => {
  const of = capture.sides[side]
  if (of === undefined) throw new Error(side)
  return { ...capture, sides: { ...capture.sides, [side]: { ...of, ...more } } }
}

/** A side that gave nothing good. */
export const DEAD: Partial<CapturedSide> = {
  good: 0,
  bad: 3000,
  badStretches: 1,
  electrical: null,
  force: null,
  noise: null,
  distinct: 0,
}
