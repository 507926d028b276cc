import type { ChannelConfig } from '../../shared/schemas/config.ts'

/** Oldest age in ms of a sample that still counts as live: as configured, else three poll periods, at least 0.5 s (common practice, no source). */
export function staleAfterMs(channel: ChannelConfig, rateHz: number): number {
  const configured = channel.quality.stale_after_s
  return configured === undefined ? Math.max(500, 3000 / rateHz) : configured * 1000
}
