import { parseAddress, registerNotation } from '../lib/codec/address.ts'
import type { ChannelConfig } from '../shared/schemas/config.ts'

/** Register, IIO channel or column in words; a register in both notations, so that either manual fits. */
export function channelPlace(channel: ChannelConfig): string {
  const { register } = channel
  if (register === undefined) {
    return channel.iio_channel === undefined ? `column ${channel.column}` : `IIO channel ${channel.iio_channel}`
  }
  const { offset, function: told } = parseAddress(register.address)
  const fn = told ?? register.function
  const kind = fn === 4 ? 'input' : 'holding'
  return `unit ${register.unit_id}, ${kind} register ${offset} (${registerNotation(fn, offset)}), ${register.type} ${register.order}`
}
