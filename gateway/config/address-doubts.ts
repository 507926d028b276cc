import type { Config } from '../../shared/schemas/config.ts'

/**
 * Addresses that may have been copied from a manual without quotes: 40001 is read as the offset 40001, and a manual
 * that numbers its registers so means offset 0. Both are allowed, so it is asked, not refused.
 */
export function addressDoubts({ channels }: Config): string[] {
  return channels.flatMap(({ id, register }) => {
    if (register === undefined || !isLikeNotation(register.address)) return []
    const { address } = register
    return [
      `channel ${id}: offset ${address} is meant? If the manual says register ${address}, write it in quotes: "${address}"`,
    ]
  })
}

/** 30001 to 39999 and 40001 to 49999, as a number. */
const isLikeNotation = (address: number | string): boolean =>
  typeof address === 'number' && ((address > 30_000 && address < 40_000) || (address > 40_000 && address < 50_000))
