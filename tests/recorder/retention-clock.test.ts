import { describe, expect, it } from 'vitest'
import { retentionNowMs } from '../../gateway/recorder/retention-clock.ts'

const NEWEST_MS = Date.UTC(2026, 0, 1)
const HOUR_MS = 3_600_000
const YEAR_MS = 365 * 24 * HOUR_MS

describe('the time by which recordings grow old', () => {
  const usual = { newestMs: NEWEST_MS, openMs: HOUR_MS }
  const both = (ms: number) => ({ gatewayMs: ms, wallMs: ms })

  it('is the present in usual running, and in an empty store', () => {
    const nowMs = NEWEST_MS + HOUR_MS
    expect(retentionNowMs({ ...usual, ...both(nowMs) })).toBe(nowMs)
    expect(retentionNowMs({ ...usual, ...both(nowMs), newestMs: null })).toBe(nowMs)
  })
  it('goes on from the newest record where the machine starts with its clock a year ahead', () =>
    expect(retentionNowMs({ ...usual, ...both(NEWEST_MS + YEAR_MS) })).toBe(NEWEST_MS + HOUR_MS))
  it('is that of the wall clock once that has been set right, though the gateway stays ahead', () => {
    const rightMs = NEWEST_MS + 30 * HOUR_MS
    const told = retentionNowMs({ ...usual, gatewayMs: rightMs + YEAR_MS, wallMs: rightMs, openMs: 30 * HOUR_MS })
    expect(told).toBe(rightMs)
  })
  it('catches up with the present a day after a real standstill', () => {
    const nowMs = NEWEST_MS + YEAR_MS
    expect(retentionNowMs({ ...usual, ...both(nowMs), openMs: 24 * HOUR_MS })).toBe(nowMs)
  })
  it('never is later than the gateway’s own where the wall clock leaps while it runs', () => {
    const nowMs = NEWEST_MS + 48 * HOUR_MS
    expect(retentionNowMs({ ...usual, gatewayMs: nowMs, wallMs: nowMs + YEAR_MS, openMs: 48 * HOUR_MS })).toBe(nowMs)
  })
})
