/**
 * What the three framings share. A framing knows how one request is wrapped and when the bytes
 * received are, to the last one, the answer to it; it holds no state and never throws on bytes.
 */

/** Everything an answer is checked against. */
export interface ExpectedReply {
  readonly transactionId: number
  readonly unitId: number
  readonly function: number
  /** Registers asked for: the answer's byte count must be twice this. */
  readonly count: number
  /** The request as it went out, to tell an echo of it from noise. */
  readonly sent: Buffer
}

/** Only `reply` and `exception` are answers; both are handed on in RTU form (unit, PDU, CRC). */
export type Parsed =
  | { readonly kind: 'partial' }
  | { readonly kind: 'reply'; readonly adu: Buffer }
  | { readonly kind: 'exception'; readonly adu: Buffer }
  /** A whole frame of this length answers an earlier request that was given up. */
  | { readonly kind: 'late'; readonly length: number; readonly transactionId: number }
  | { readonly kind: 'invalid'; readonly reason: string }

export const PARTIAL: Parsed = { kind: 'partial' }
export const invalid = (reason: string): Parsed => ({ kind: 'invalid', reason })

export interface Framing {
  readonly name: string
  /**
   * Whether an answer names the request it belongs to. Where it does not (RTU), a late or doubled
   * answer is kept from being taken for the next one by silence and by unequal requests.
   */
  readonly carriesTransactionId: boolean
  /** A request in RTU form (unit, PDU, CRC) as it goes on this wire. */
  encode(adu: Buffer, transactionId: number): Buffer
  /** `givenUp` tells whether a transaction id belongs to a request nobody waits for any more. */
  parse(bytes: Buffer, expected: ExpectedReply, givenUp: (transactionId: number) => boolean): Parsed
}

/** Unit, function, exception code. */
export const EXCEPTION_LENGTH = 3

/** Unit, function, byte count, two bytes a register. */
export const replyLength = (count: number): number => 3 + 2 * count

export type Head =
  | { readonly kind: 'partial' }
  | { readonly kind: 'invalid'; readonly reason: string }
  | { readonly kind: 'exception'; readonly length: number }
  | { readonly kind: 'reply'; readonly length: number }

/**
 * Reads unit, function and byte count from `at` and says how long unit and PDU together must be.
 * Refuses at the first byte that cannot belong to the answer, so that noise fails at once.
 */
export function readHead(bytes: Buffer, at: number, expected: ExpectedReply): Head {
  const unit = bytes[at]
  const code = bytes[at + 1]
  const byteCount = bytes[at + 2]
  if (unit === undefined) return { kind: 'partial' }
  if (unit !== expected.unitId) return { kind: 'invalid', reason: `unit ${unit} answered, expected ${expected.unitId}` }
  if (code === undefined) return { kind: 'partial' }
  if (code === (expected.function | 0x80)) return { kind: 'exception', length: EXCEPTION_LENGTH }
  if (code !== expected.function) {
    return { kind: 'invalid', reason: `function ${code} came back, expected ${expected.function}` }
  }
  if (byteCount === undefined) return { kind: 'partial' }
  if (byteCount !== 2 * expected.count) {
    return { kind: 'invalid', reason: `byte count ${byteCount}, expected ${2 * expected.count}` }
  }
  return { kind: 'reply', length: replyLength(expected.count) }
}
