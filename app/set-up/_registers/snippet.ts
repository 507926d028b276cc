import type { RegisterOrder, RegisterType } from '../../../shared/schemas/config.ts'

export interface FoundRegister {
  readonly device: string
  readonly unitId: number
  readonly function: 3 | 4
  /** 0-based. */
  readonly address: number
  readonly type: RegisterType
  readonly order: RegisterOrder
}

/**
 * A channel to paste under `channels:` of the config. The scale is a placeholder that says so: it is
 * on the cell's plate and in the calibration, not in a register.
 */
export function channelSnippet(found: FoundRegister): string {
  const { device, unitId, function: fn, address, type, order } = found
  return `  - id: cell-${fn}-${address}
    device: ${device}
    register: { unit_id: ${unitId}, function: ${fn}, address: ${address}, type: ${type}, order: ${order} }
    force:
      unit: N
      zero: 0         # reading with the bare roller: replace
      gain: 1         # newtons per unit of the reading: replace
      capacity: 1000  # rated capacity of the cell, from its plate: replace
`
}
