import { type ErrorBody, EvenpullError } from '../../shared/errors.ts'
import { asEvenpullError, exceptionCodeOf } from './failures.ts'

/** An EvenpullError as plain data: structured cloning would make a bare Error of it, without code or remedy. */
export interface WireError {
  readonly body: ErrorBody
  readonly exceptionCode: number | null
}

export function toWire(thrown: unknown): WireError {
  const error = asEvenpullError(thrown)
  return { body: error.toJSON(), exceptionCode: exceptionCodeOf(error) }
}

export function fromWire({ body, exceptionCode }: WireError): EvenpullError {
  const { code, message, remedy, place } = body
  const error = new EvenpullError(code, message, { remedy, ...(place === undefined ? {} : { place }) })
  return exceptionCode === null ? error : Object.assign(error, { exceptionCode })
}
