import type { ChannelConfig } from '../../shared/schemas/config.ts'

/**
 * What one count is worth in the unit of the reading (the raw number where there is no electrical scale); 0 where
 * nothing tells it: a float register, a recording, or Linux IIO, whose counts are V or mA by the time they come.
 */
export function readingStep({ register, electrical }: Pick<ChannelConfig, 'register' | 'electrical'>): number {
  if (register === undefined || register.type === 'float32') return 0
  if (electrical === undefined) return 1
  const { counts, reads } = electrical
  return Math.abs((reads[1] - reads[0]) / (counts[1] - counts[0]))
}
