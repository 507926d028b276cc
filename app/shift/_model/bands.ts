import { AUX_ROLES, type AuxRole } from '../../../shared/sample.ts'
import type { HistorySeries } from '../../../shared/schemas/history.ts'
import type { ZoneInfo } from '../../../shared/schemas/zones.ts'
import type { UnitChoice } from '../../../shared/unit-choice.ts'
import { drawnAux, drawnSides, tracedQuantity } from '../../_plots/drawn-columns.ts'
import type { LinearMap } from '../../_plots/picture.ts'
import type { TraceStyle } from '../../_plots/plot-theme.ts'
import { isCompared } from '../../_ui/live/judged.ts'
import { sidesOf } from '../../_ui/sides.ts'

export type BandKey = 'sides' | 'residual' | 'imbalance' | AuxRole

/** One line of a band: a series of the history, and how it is told from the others. */
export interface BandLine extends TraceStyle {
  readonly series: HistorySeries
  /** SI value → shown value. */
  readonly map: LinearMap
}

/** What is drawn on one pair of axes. */
export interface Band {
  readonly key: BandKey
  /** What it shows, for the axis and the list of bands. */
  readonly title: string
  readonly unit: string
  readonly isTall: boolean
  readonly lines: readonly BandLine[]
}

const SAME: LinearMap = { factor: 1, offset: 0 }

/** The bands a zone has, from top to bottom, in the reader's units. */
export function bandsOf(zone: ZoneInfo, choice: UnitChoice): readonly Band[] {
  const sides = drawnSides(zone, choice)
  const main: Band = {
    key: 'sides',
    title: tracedQuantity(zone),
    unit: sides[0]?.unit ?? '',
    isTall: true,
    lines: sides.map(({ name, label, tone, isDashed, map }) => ({
      series: name as HistorySeries,
      label,
      tone,
      isDashed,
      map,
    })),
  }
  return [
    main,
    ...(isCompared(zone) ? [percentBand('residual', 'measured less expected, of expected')] : []),
    ...(sidesOf(zone).includes('single') ? [] : [percentBand('imbalance', 'side difference')]),
    ...AUX_ROLES.filter((role) => zone.columns.includes(role)).map((role) => auxBand(zone, role, choice)),
  ]
}

function percentBand(series: 'residual' | 'imbalance', title: string): Band {
  const label = series === 'residual' ? 'residual' : 'side difference'
  return {
    key: series,
    title,
    unit: '%',
    isTall: false,
    lines: [{ series, label, tone: 'neutral', isDashed: false, map: SAME }],
  }
}

function auxBand(zone: ZoneInfo, role: AuxRole, choice: UnitChoice): Band {
  const { label, unit, map } = drawnAux(zone, role, choice)
  return {
    key: role,
    title: label,
    unit,
    isTall: false,
    lines: [{ series: role, label, tone: 'neutral', isDashed: false, map }],
  }
}
