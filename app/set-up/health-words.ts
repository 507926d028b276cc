import { ERROR_CATALOGUE, type ErrorCode } from '../../shared/errors.ts'
import { type QualityCode, qualityOf } from '../../shared/quality.ts'
import type { DeviceHealth, Health } from '../../shared/schemas/health.ts'

export type DeviceState = DeviceHealth['state']

export const STATE_WORDS: Record<DeviceState, string> = {
  starting: 'not heard yet',
  answering: 'answers',
  partly: 'answers in part',
  lost: 'does not answer',
  ended: 'recording has ended',
}

export const TRANSPORT_WORDS: Record<DeviceHealth['transport'], string> = {
  'modbus-tcp': 'Modbus TCP',
  'modbus-rtu': 'Modbus RTU',
  'modbus-rtu-over-tcp': 'Modbus RTU over TCP',
  iio: 'Linux Industrial I/O',
  replay: 'recording',
}

/** Share of the asked rate under which a device counts as too slow (common practice, no source). */
const SLOW_UNDER = 0.95

export function isSlow({ requestedHz, achievedHz }: DeviceHealth): boolean {
  return achievedHz !== null && achievedHz < requestedHz * SLOW_UNDER
}

/** What to do about an error the gateway told by its code; null for a code this page does not know. */
export function remedyOf(code: string): string | null {
  return Object.hasOwn(ERROR_CATALOGUE, code) ? ERROR_CATALOGUE[code as ErrorCode] : null
}

/** The page's answer in one sentence. */
export function connectionSentence({ devices, channels }: Health): string {
  const answering = devices.filter((d) => d.state === 'answering').length
  const good = channels.filter((c) => qualityOf(c.code) === 'good').length
  const deviceWords = devices.length === 1 ? 'the device answers' : `${answering} of ${devices.length} devices answer`
  const first = devices.length === 1 && answering === 0 ? 'the device does not answer fully' : deviceWords
  return `${first[0]?.toUpperCase()}${first.slice(1)}; ${good} of ${channels.length} channels read good.`
}

/** Quality as one of three words, for a mark and a first glance. */
export function qualityWord(code: QualityCode): string {
  return code === 'starting' ? 'waiting' : qualityOf(code)
}
