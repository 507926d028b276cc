/** Where a register is, and by which function it is read. */
export interface ParsedAddress {
  /** 3 holding, 4 input, or null when the notation does not say. */
  readonly function: 3 | 4 | null
  /** 0-based offset as sent on the wire. */
  readonly offset: number
}

/**
 * Reads an address as written in a config.
 *
 * A number is the 0-based offset of the wire. Text of five or six digits that starts with 3 or 4
 * is the older notation: 3xxxx input and 4xxxx holding registers, counted from 1.
 * Throws RangeError on anything else.
 *
 * @source Modbus Application Protocol V1.1b3 §4.4: data numbered 1 to n is addressed 0 to n−1 on
 * the wire. The leading 3 or 4 is common practice, no source.
 */
export function parseAddress(address: number | string): ParsedAddress {
  if (typeof address === 'number') {
    if (!Number.isInteger(address) || address < 0 || address > 0xffff)
      throw new RangeError(`register offset ${address}: expected a whole number from 0 to 65535`)
    return { function: null, offset: address }
  }
  const match = /^([34])(\d{4,5})$/.exec(address)
  const digits = match?.[2]
  if (digits === undefined) throw new RangeError(`register "${address}": expected 30001 or 40001 notation`)
  const offset = Number(digits) - 1
  if (offset < 0 || offset > 0xffff) throw new RangeError(`register "${address}" is outside 1 to 65536`)
  return { function: match?.[1] === '3' ? 4 : 3, offset }
}

/** The 30001/40001 notation of a wire offset; six digits past 9999. */
export function registerNotation(fn: 3 | 4, offset: number): string {
  const leading = fn === 4 ? '3' : '4'
  const number = offset + 1
  return leading + String(number).padStart(number > 9999 ? 5 : 4, '0')
}
