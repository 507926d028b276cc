import { ERROR_CATALOGUE, type ErrorCode } from '../../shared/errors.ts'

/** What the exit codes of every command mean; `--help` prints this. */
export const EXIT_CODES = {
  0: 'done; what was checked is right',
  1: 'what was checked is wrong (a config, a CSV file, an answer)',
  2: 'the command was not understood; nothing was done',
  3: 'what was named could not be reached or opened (a file, a device, a port)',
  4: 'a fault of the product or its installation',
} as const

export type ExitCode = keyof typeof EXIT_CODES

const CODES: Record<ErrorCode, ExitCode> = {
  ...(Object.fromEntries(Object.keys(ERROR_CATALOGUE).map((code) => [code, 1])) as Record<ErrorCode, ExitCode>),
  EVP_USAGE: 2,
  EVP_CONFIG_NOT_FOUND: 3,
  EVP_REPLAY_FILE: 3,
  EVP_PORT_TAKEN: 3,
  EVP_DEVICE_UNREACHABLE: 3,
  EVP_DEVICE_TIMEOUT: 3,
  EVP_DEVICE_CLOSED: 3,
  EVP_SERIAL_OPEN: 3,
  EVP_IIO_READ: 3,
  EVP_USERS_FILE: 3,
  EVP_TLS: 3,
  EVP_INTERNAL: 4,
}

export function exitCodeOf(code: ErrorCode): ExitCode {
  return CODES[code]
}
