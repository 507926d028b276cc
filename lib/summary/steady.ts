import type { ShiftAnalysis } from '../../shared/schemas/shift.ts'

export interface Stretch {
  readonly fromMs: number
  readonly toMs: number
}

/** Periods from which drift and means are told, steady or assumed to be, neighbours joined; oldest first. */
export function steadyStretches(analysis: Pick<ShiftAnalysis, 'periods'> | null): readonly Stretch[] {
  const found: { fromMs: number; toMs: number }[] = []
  for (const { state, fromMs, toMs } of analysis?.periods ?? []) {
    if (state !== 'steady' && state !== 'assumed') continue
    const last = found.at(-1)
    if (last !== undefined && last.toMs === fromMs) last.toMs = toMs
    else found.push({ fromMs, toMs })
  }
  return found
}
