import { type ErrorCode, EvenpullError } from '../../shared/errors.ts'

/** An error with the HTTP status and headers it is answered with. */
export interface Refusal {
  readonly status: number
  readonly error: EvenpullError
  readonly headers: Readonly<Record<string, string>>
}

/** Thrown where the status is not the usual one of the code (405, 408 …). */
export class HttpRefusal extends Error implements Refusal {
  override readonly name = 'HttpRefusal'
  readonly status: number
  readonly error: EvenpullError
  readonly headers: Readonly<Record<string, string>>

  constructor(status: number, error: EvenpullError, headers: Readonly<Record<string, string>> = {}) {
    super(error.message)
    this.status = status
    this.error = error
    this.headers = headers
  }
}

/** Usual HTTP status of each code; a code that is not here is a fault of ours: 500. */
const STATUS: Readonly<Partial<Record<ErrorCode, number>>> = {
  EVP_REQUEST_INVALID: 400,
  EVP_FUNCTION_REFUSED: 400,
  EVP_LOGIN_NEEDED: 401,
  EVP_LOGIN_REFUSED: 401,
  EVP_ROLE: 403,
  EVP_ORIGIN_REFUSED: 403,
  EVP_TRAINING_KEY: 403,
  EVP_NOT_FOUND: 404,
  EVP_TRAINING_OFF: 404,
  EVP_ALARM_STATE: 409,
  EVP_CONFIG_CHANGED: 409,
  EVP_RECORD_SIGNED: 409,
  EVP_KEY_REUSED: 409,
  EVP_TRAINING_STATE: 409,
  EVP_TOO_LARGE: 413,
  EVP_CONFIG_INVALID: 422,
  EVP_CONFIG_REFERENCE: 422,
  EVP_CONFIG_RATE: 422,
  EVP_USER_INVALID: 422,
  EVP_CAPTURE: 422,
  EVP_TOO_MANY: 429,
  EVP_DEVICE_UNREACHABLE: 502,
  EVP_DEVICE_CLOSED: 502,
  EVP_FRAME_INVALID: 502,
  EVP_MODBUS_EXCEPTION: 502,
  EVP_SERIAL_OPEN: 502,
  EVP_IIO_READ: 502,
  EVP_TRAINING_UNREACHABLE: 502,
  EVP_CONFIG_WRITE: 503,
  EVP_USERS_FILE: 503,
  EVP_RECORDER_OFF: 503,
  EVP_RECORDER_STOPPED: 503,
  EVP_STORE_LOCKED: 503,
  EVP_RECORD_DAMAGED: 500,
  EVP_STORE_WRITE: 503,
  EVP_STORE_FULL: 503,
  EVP_DEVICE_TIMEOUT: 504,
}

/** RFC 9110, 11.6.1 asks for it; unlike Basic, this scheme makes no browser ask for a password by itself. */
const CHALLENGE = { 'www-authenticate': 'Bearer realm="evenpull"' }

export function statusOf(code: ErrorCode): number {
  return STATUS[code] ?? 500
}

/** What anything thrown is answered with. What is not one of our errors tells a stranger nothing but EVP_INTERNAL. */
export function refusalFor(thrown: unknown): Refusal {
  if (thrown instanceof HttpRefusal) return thrown
  const error =
    thrown instanceof EvenpullError
      ? thrown
      : new EvenpullError('EVP_INTERNAL', 'The request could not be answered.', { cause: thrown })
  const status = statusOf(error.code)
  return { status, error, headers: status === 401 ? CHALLENGE : {} }
}
