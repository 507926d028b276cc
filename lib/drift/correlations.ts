import type { CorrelationResult, DriftQuantity } from '../../shared/schemas/shift.ts'
import type { ZoneMinute } from '../../shared/schemas/zone-minute.ts'
import type { Stretch } from './compare.ts'
import { correlate } from './correlate.ts'
import type { DriftSpec } from './drift-figure.ts'
import { hoursOf, minuteSeries } from './minute-series.ts'

/** With what a quantity goes, of temperature and speed; none where the zone does not read it or it hardly moved. */
export function correlationsOf({ quantity, unit }: DriftSpec, { judged }: Stretch): CorrelationResult[] {
  return (['temperature', 'speed'] as const).flatMap((other) => {
    const both = judged.filter((minute) => typeof readingOf(quantity, minute) === 'number' && minute[other] !== null)
    const series = minuteSeries(both, (minute) => readingOf(quantity, minute))
    const beside = minuteSeries(both, (minute) => minute[other])
    const told = correlate(quantity, unit, other, { hours: hoursOf(series), y: series.y, x: beside.y })
    return told === undefined ? [] : [told]
  })
}

const readingOf = (quantity: DriftQuantity, { residual, imbalance }: ZoneMinute): number | null | undefined =>
  quantity === 'agreement' ? residual : imbalance
