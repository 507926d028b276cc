/** Signed integers as counts from 0, small ones small: 0, −1, 1, −2, 2 … become 0, 1, 2, 3, 4 … (Protocol Buffers, "Encoding"). */
export function zigzag(value: number): number {
  return value >= 0 ? 2 * value : -2 * value - 1
}

/** The signed integer again. */
export function unzigzag(code: number): number {
  return code % 2 === 0 ? code / 2 : -(code + 1) / 2
}
