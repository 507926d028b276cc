import { qualityOf } from '../../shared/quality.ts'
import type { Side } from '../../shared/sample.ts'
import type { Figure, VerdictState, ZoneNow } from '../../shared/schemas/now.ts'
import type { ZoneInfo } from '../../shared/schemas/zones.ts'
import { reasonInWords } from '../_plots/reason.ts'
import { formatDuration } from '../_ui/format.ts'
import { totalState } from '../_ui/live/total-state.ts'
import { SIDES, sideNow, sidesOf } from '../_ui/sides.ts'
import { toldFigure } from '../_ui/told-figure.ts'
import type { Units } from '../_ui/units.tsx'
import { limitInWords } from '../_ui/verdict-words.ts'

/** One figure to be read from five metres away. */
export interface LargeFigure {
  readonly key: string
  readonly title: string
  readonly side: Side | null
  /** Number alone; null where it cannot be told. */
  readonly value: string | null
  /** Uncertainty, unit and window; or why there is no value. */
  readonly beside: string
  /** With its limit in words; null for what is not judged. */
  readonly verdict: { readonly state: VerdictState; readonly limit: string | null } | null
}

/** What a zone shows from afar: each side, the total, and the side difference of a pair. */
export function largeFigures(zone: ZoneInfo, now: ZoneNow | null, units: Units): readonly LargeFigure[] {
  const sides = sidesOf(zone)
  const total: LargeFigure = {
    key: 'total',
    title: zone.totalMeans === 'tension' ? 'Web tension' : 'Force along the arrows',
    side: null,
    ...told(now === null ? null : now.total, units, totalReason(now)),
    verdict: null,
  }
  const each = sides.map((side) => sideFigure(side, zone, now, units))
  if (sides.includes('single')) return [total, ...each]
  return [...each, total, difference(now, units)]
}

function sideFigure(side: Side, zone: ZoneInfo, now: ZoneNow | null, units: Units): LargeFigure {
  const of = sideNow(now, side)
  const base = { key: side, title: SIDES[side].title, side, verdict: null }
  if (of === null) return { ...base, value: null, beside: NO_PICTURE }
  if (qualityOf(of.live.code) === 'bad') return { ...base, value: null, beside: reasonInWords(of.live.code) }
  const figure = zone.totalMeans === 'tension' ? (of.tension ?? of.force) : of.force
  return { ...base, ...told(figure, units, figure.waiting) }
}

function difference(now: ZoneNow | null, units: Units): LargeFigure {
  const figure = now?.imbalance ?? null
  return {
    key: 'side-difference',
    title: 'Side difference',
    side: null,
    ...told(figure, units, figure?.waiting ?? null),
    verdict:
      figure === null
        ? null
        : { state: figure.verdict.state, limit: figure.limit === null ? null : limitInWords(figure, units, false) },
  }
}

const NO_PICTURE = 'no picture from the gateway'

function totalReason(now: ZoneNow | null): string | null {
  return now === null || totalState(now) !== 'unknown' ? (now?.total.waiting ?? null) : 'a side gives no good samples'
}

function told(figure: Figure | null, units: Units, waiting: string | null): Pick<LargeFigure, 'value' | 'beside'> {
  if (figure === null) return { value: null, beside: NO_PICTURE }
  const shown = toldFigure(figure, units)
  if (shown === null) return { value: null, beside: waiting ?? 'no good samples' }
  const window = figure.window === null ? '' : `, mean of ${formatDuration(figure.window.seconds)}`
  const unit = figure.U === null ? `${shown.unit}, ` : ''
  return { value: shown.value, beside: `${unit}${shown.worth}${window}` }
}
