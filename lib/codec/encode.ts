import type { RegisterOrder, RegisterType } from '../../shared/schemas/config.ts'
import { order16, order32 } from './byte-order.ts'
import { WORDS } from './types.ts'

const scratch = new DataView(new ArrayBuffer(4))

/** Lowest and highest value of each whole-number type. */
export const INTEGER_RANGE = {
  int16: [-32_768, 32_767],
  uint16: [0, 65_535],
  int32: [-2_147_483_648, 2_147_483_647],
  uint32: [0, 4_294_967_295],
} as const

/**
 * Registers that hold `value`: the inverse of `decodeRegister`, for the simulator and tests.
 * Whole-number types round to nearest and saturate at their range, as a converter does; NaN is
 * kept by float32 and throws RangeError elsewhere, because no register can say it.
 */
export function encodeRegister(value: number, type: RegisterType, order: RegisterOrder): number[] {
  if (type === 'float32') {
    scratch.setFloat32(0, value)
  } else {
    if (Number.isNaN(value)) throw new RangeError(`${type} has no NaN`)
    const [low, high] = INTEGER_RANGE[type]
    const whole = Math.min(high, Math.max(low, Math.round(value)))
    if (WORDS[type] === 1) return [order16(whole & 0xffff, order)]
    scratch.setUint32(0, whole >>> 0)
  }
  return [...order32(scratch.getUint16(0), scratch.getUint16(2), order)]
}
