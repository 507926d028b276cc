import { type VerificationContext, verificationContext } from '../../../lib/verification/context.ts'
import { configSchema } from '../../../shared/schemas/config.ts'
import type { RecordFigure, TestResult } from '../../../shared/schemas/verification.ts'
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
