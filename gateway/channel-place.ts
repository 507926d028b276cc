import { parseAddress, registerNotation } from '../lib/codec/address.ts'
import { WORDS } from '../lib/codec/types.ts'
import type { ChannelConfig } from '../shared/schemas/config.ts'
import type { ChannelHealth } from '../shared/schemas/health.ts'

/** Register, IIO channel or column in words; a register in both notations, so that either manual fits. */
export function channelPlace(channel: ChannelConfig): string {
  const register = channelRegister(channel)
  if (register === null) {
    const { iio_channel: input, column } = channel
    return input === undefined
      ? `column ${column}`
      : `IIO channel ${input}, in ${input.startsWith('voltage') ? 'V' : 'mA'}`
  }
  const { unitId, function: fn, address, type, order } = register
  const kind = fn === 4 ? 'input' : 'holding'
  return `unit ${unitId}, ${kind} register ${address} (${registerNotation(fn, address)}), ${type} ${order}`
}

interface ChannelRegister extends NonNullable<ChannelHealth['register']> {
  readonly function: 3 | 4
}

/** Which registers hold a channel, the notation of the config resolved; null for what is not in a register. */
export function channelRegister({ register }: ChannelConfig): ChannelRegister | null {
  if (register === undefined) return null
  const { offset, function: told } = parseAddress(register.address)
  const { unit_id: unitId, type, order } = register
  return { unitId, function: told ?? register.function, address: offset, words: WORDS[type], type, order }
}
