import { EvenpullError } from '../../../shared/errors.ts'

/** Which sysfs files hold one input, in the order they are looked for. */
export interface IioAttributes {
  readonly kind: 'voltage' | 'current'
  readonly raw: string
  readonly scale: readonly string[]
  readonly offset: readonly string[]
}

const CHANNEL = /^(voltage|current)(\d+)(?:-(voltage|current)(\d+))?$/

/**
 * Files of an IIO input such as `voltage0`, `current1` or the differential `voltage0-voltage1`.
 *
 * An attribute without a number is shared by all inputs of its type: `in_voltage_scale`, for
 * differential inputs `in_voltage-voltage_scale`. The input's own file comes first.
 * Throws EVP_IIO_READ on any other name, so that a name can never lead out of the device's folder.
 *
 * Source: Linux kernel, Documentation/ABI/testing/sysfs-bus-iio (in_voltageY_raw,
 * in_voltageY-voltageZ_raw, in_currentY_raw, in_voltageY_scale, in_voltageY_offset).
 */
export function iioAttributes(channel: string): IioAttributes {
  const [, kind, , other] = CHANNEL.exec(channel) ?? []
  if ((kind !== 'voltage' && kind !== 'current') || (other !== undefined && other !== kind))
    throw new EvenpullError(
      'EVP_IIO_READ',
      `IIO channel "${channel}": expected voltage0, current1 or voltage0-voltage1, both of one kind`,
    )
  const shared = other === undefined ? [kind] : [`${kind}-${kind}`, kind]
  const files = (attribute: string) => [channel, ...shared].map((name) => `in_${name}_${attribute}`)
  return { kind, raw: `in_${channel}_raw`, scale: files('scale'), offset: files('offset') }
}

/**
 * The electrical value in V (voltage) or mA (current).
 *
 * The kernel's rule is (raw + offset) × scale, in millivolts or milliamps (same document); an
 * absent offset is 0. A voltage is handed over in volts, the unit configs are written in.
 */
export function iioValue(kind: IioAttributes['kind'], raw: number, scale: number, offset: number): number {
  const milli = (raw + offset) * scale
  return kind === 'voltage' ? milli / 1000 : milli
}
