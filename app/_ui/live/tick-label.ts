import { formatNumber } from '../format.ts'

/** A tick with as many decimals as its step needs. */
export function tickLabel(tick: number, step: number): string {
  const decimals = Math.max(0, -Math.floor(Math.log10(step) + 1e-9))
  const isExact = Math.abs(step * 10 ** decimals - Math.round(step * 10 ** decimals)) < 1e-6
  return formatNumber(tick, isExact ? decimals : decimals + 1)
}
