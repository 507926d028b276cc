import { type ErrorCode, EvenpullError } from '../../shared/errors.ts'
import type { QualityCode } from '../../shared/quality.ts'

const NO_ANSWER: ReadonlySet<ErrorCode> = new Set([
  'EVP_DEVICE_TIMEOUT',
  'EVP_DEVICE_CLOSED',
  'EVP_DEVICE_UNREACHABLE',
  'EVP_SERIAL_OPEN',
  'EVP_REPLAY_FILE',
])

/** The quality of the samples that a failed read leaves behind: nothing came, or what came was refused or broken. */
export function gapCode(error: EvenpullError): QualityCode {
  if (error.code === 'EVP_REPLAY_ENDED') return 'missing'
  return NO_ANSWER.has(error.code) ? 'no-answer' : 'device-error'
}

/** Modbus Application Protocol V1.1b3 §7: the address, or address and length, are not allowed in this device. */
const ILLEGAL_DATA_ADDRESS = 2

export function isIllegalAddress(error: EvenpullError): boolean {
  return error.code === 'EVP_MODBUS_EXCEPTION' && exceptionCodeOf(error) === ILLEGAL_DATA_ADDRESS
}

/** The exception code a Modbus device answered with; null for every other error. */
export function exceptionCodeOf(error: EvenpullError): number | null {
  const code = (error as { exceptionCode?: unknown }).exceptionCode
  return typeof code === 'number' ? code : null
}

/** What a failed read means as an EvenpullError; anything else a transport throws is a fault of ours. */
export function asEvenpullError(error: unknown): EvenpullError {
  if (error instanceof EvenpullError) return error
  return new EvenpullError('EVP_INTERNAL', error instanceof Error ? error.message : String(error), { cause: error })
}
