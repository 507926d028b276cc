import { EvenpullError } from '../../shared/errors.ts'
import { type MqttSettings, whereOf } from './settings.ts'

/** The broker ended a connection and said why (MQTT 5.0, table 3.14.2.1). */
export class BrokerFault extends Error {
  readonly reasonCode: number

  constructor(what: string, reasonCode: number) {
    super(what)
    this.reasonCode = reasonCode
  }
}

/** Reason codes a person can act on (MQTT 5.0, section 2.4); the others are told by their number. */
const REASONS: Readonly<Record<number, string>> = {
  132: 'it does not speak MQTT 5',
  133: 'it does not take the client id',
  134: 'wrong user name or password',
  135: 'wrong user name or password, or this user may not do that',
  136: 'it is not available',
  137: 'it is busy',
  138: 'this client is banned',
  139: 'it is shutting down',
  141: 'it heard nothing in time',
  142: 'another gateway with the same topic took the connection over',
  149: 'a message was too large for it',
  151: 'its quota is used up',
  152: 'an administrator ended the connection',
}
/** Refused for what the config says, not for how the broker is. */
const OURS = new Set([132, 133, 134, 135, 138])

const reasonWords = (code: number): string => REASONS[code] ?? `reason code ${code} of MQTT 5`

const CERTIFICATE = /CERT|SIGNATURE|ISSUER|ALTNAME|SELF_SIGNED|ERR_(TLS|SSL)|EPROTO/
const UNREACHED: Readonly<Record<string, string>> = {
  ECONNREFUSED: 'nothing listens there',
  ENOTFOUND: 'no such host name',
  EAI_AGAIN: 'the name could not be looked up',
  ETIMEDOUT: 'no answer',
  EHOSTUNREACH: 'no way to that host',
  ENETUNREACH: 'no way to that network',
}

/** Of a connection that was there. */
const BROKEN = new Set(['ECONNRESET', 'EPIPE', 'ECONNABORTED'])

/** What went wrong with a connection, as an error a person can act on. Never holds the password. */
export function errorOf(fault: unknown, settings: MqttSettings): EvenpullError {
  if (fault instanceof EvenpullError) return fault
  const where = whereOf(settings)
  const { code, reasonCode, message } = fault as { code?: unknown; reasonCode?: number; message?: string }
  const reason = reasonCode ?? (typeof code === 'number' ? code : undefined)
  if (reason !== undefined && reason >= 128) return refusedError(reason, settings)
  const name = typeof code === 'string' ? code : ''
  if (CERTIFICATE.test(name)) return new EvenpullError('EVP_FORWARD_TLS', `${where}: ${message ?? name}`)
  if (message === 'connack timeout')
    return new EvenpullError('EVP_FORWARD_UNREACHABLE', `${where}: it took the connection and said nothing`)
  if (message === 'Keepalive timeout')
    return new EvenpullError('EVP_FORWARD_CLOSED', `${where}: the broker did not answer any more`)
  if (BROKEN.has(name)) return new EvenpullError('EVP_FORWARD_CLOSED', `the connection to the broker ${where} broke`)
  if (name !== '') return new EvenpullError('EVP_FORWARD_UNREACHABLE', `${where}: ${UNREACHED[name] ?? name}`)
  return closedError(settings)
}

/** A reason code from 128 on: of a connection, or of a message. */
export function refusedError(reason: number, settings: MqttSettings): EvenpullError {
  const code = OURS.has(reason) ? 'EVP_FORWARD_REFUSED' : 'EVP_FORWARD_CLOSED'
  return new EvenpullError(code, `the broker ${whereOf(settings)} refused: ${reasonWords(reason)}`)
}

/** Some brokers say nothing when a client of the same id takes a connection over. */
export function closedError(settings: MqttSettings): EvenpullError {
  const where = whereOf(settings)
  const why = 'without a reason, as it does when another gateway with the same topic connects'
  return new EvenpullError('EVP_FORWARD_CLOSED', `the broker ${where} closed the connection ${why}`)
}
