import { EvenpullError } from '../../../shared/errors.ts'

/** Read coils, read discrete inputs, read holding registers, read input registers. */
const READ_FUNCTIONS: ReadonlySet<number> = new Set([1, 2, 3, 4])
/** Unit, function, address, quantity, CRC: every read request has this length. */
const READ_REQUEST_LENGTH = 8

/**
 * The last gate before bytes leave the process: a request in RTU form passes when it is a read.
 * Throws EVP_FUNCTION_REFUSED otherwise. Source of the codes: Modbus Application Protocol V1.1b3 §6.1–6.4.
 */
export function refuseUnlessRead(adu: Buffer): void {
  const code = adu[1]
  if (code === undefined || !READ_FUNCTIONS.has(code)) {
    throw new EvenpullError('EVP_FUNCTION_REFUSED', `function code ${code ?? 'missing'} was stopped: expected 1 to 4`)
  }
  if (adu.length !== READ_REQUEST_LENGTH) {
    const found = `a request of ${adu.length} bytes with function code ${code} was stopped`
    throw new EvenpullError('EVP_FUNCTION_REFUSED', `${found}: a read has ${READ_REQUEST_LENGTH}`)
  }
}
