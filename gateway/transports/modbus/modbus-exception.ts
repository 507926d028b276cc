import { EvenpullError } from '../../../shared/errors.ts'

/** Source: Modbus Application Protocol V1.1b3 §7. */
const EXCEPTION_WORDS: Readonly<Record<number, string>> = {
  1: 'illegal function',
  2: 'illegal data address',
  3: 'illegal data value',
  4: 'server device failure',
  5: 'acknowledge: still working on it',
  6: 'server device busy',
  8: 'memory parity error',
  10: 'gateway path unavailable',
  11: 'gateway target device failed to respond',
}

/** EVP_MODBUS_EXCEPTION: the device answered, and refused. */
export class ModbusExceptionError extends EvenpullError {
  override readonly exceptionCode: number

  constructor(exceptionCode: number, request: string) {
    const words = EXCEPTION_WORDS[exceptionCode] ?? 'not a code of the standard'
    super('EVP_MODBUS_EXCEPTION', `${request}: exception ${exceptionCode} (${words})`)
    this.exceptionCode = exceptionCode
  }
}
