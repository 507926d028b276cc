import { qualityOf } from '../../../shared/quality.ts'
import { type Figure, type Live, verdictState, type ZoneNow } from '../../../shared/schemas/now.ts'
import type { Labels, MetricFamily } from './exposition.ts'

/** A figure of a zone under the name it is exported by, without its unit. */
interface NamedFigure {
  readonly name: string
  readonly help: string
  readonly labels: Labels
  readonly figure: Figure | undefined
}

/** Base unit of each unit a figure may have: ending of the name, and factor to it. */
const BASE_UNITS: Readonly<Record<Figure['unit'], readonly [ending: string, factor: number]>> = {
  N: ['newtons', 1],
  '%': ['ratio', 1 / 100],
  m: ['meters', 1],
  '%/h': ['ratio_per_second', 1 / 100 / 3600],
  'points/h': ['ratio_per_second', 1 / 100 / 3600],
  'N/h': ['newtons_per_second', 1 / 3600],
  '1/s': ['hertz', 1],
  'm/s': ['meters_per_second', 1],
  '°C': ['celsius', 1],
  ms: ['seconds', 1 / 1000],
  'N/m': ['newtons_per_meter', 1],
}

/** Figures of every zone with their expanded uncertainty, their verdicts, and the newest samples. */
export function zoneMetrics(zones: readonly ZoneNow[]): MetricFamily[] {
  const families = new FamilyCollector()
  for (const zone of zones) {
    for (const named of figuresOf(zone)) addFigure(families, named)
    for (const { labels, live } of livesOf(zone)) addLive(families, labels, live)
  }
  return families.list()
}

function figuresOf(now: ZoneNow): NamedFigure[] {
  const labels = { zone: now.zone }
  const sides = Object.entries(now.sides).flatMap(
    ([side, { force, tension, expected, agreement, noise, peakToPeak }]): NamedFigure[] => {
      const own = { ...labels, side }
      return [
        { name: 'force', help: 'Mean force along the arrow over the averaging window', labels: own, figure: force },
        { name: 'tension', help: 'Web tension this side carries', labels: own, figure: tension },
        {
          name: 'expected_force',
          help: 'Force along the arrow that the geometry expects',
          labels: own,
          figure: expected,
        },
        {
          name: 'force_agreement',
          help: 'Measured less expected force along the arrow',
          labels: own,
          figure: agreement,
        },
        { name: 'noise', help: 'Standard deviation after slow motion is removed', labels: own, figure: noise },
        { name: 'peak_to_peak', help: 'Peak to peak after slow motion is removed', labels: own, figure: peakToPeak },
      ]
    },
  )
  return [
    ...sides,
    { name: `total_${now.totalMeans}`, help: `Total ${now.totalMeans} of the zone`, labels, figure: now.total },
    { name: 'expected_tension', help: 'Web tension that the reference tells', labels, figure: now.expected },
    { name: 'agreement', help: 'Measured less expected web tension', labels, figure: now.agreement },
    { name: 'residual_drift', help: 'Drift of the agreement', labels, figure: now.driftOfResidual },
    { name: 'side_difference', help: 'Operator side less drive side, of their sum', labels, figure: now.imbalance },
    {
      name: 'line_of_pull',
      help: 'Line of pull from mid-span, towards the operator side',
      labels,
      figure: now.lineOfPull,
    },
    { name: 'side_difference_drift', help: 'Drift of the side difference', labels, figure: now.driftOfSideDifference },
    { name: 'total_rate', help: 'Rate of change of the total', labels, figure: now.rateOfTotal },
    { name: 'skew', help: 'Time of the operator side less the drive side', labels, figure: now.skew },
  ]
}

function addFigure(families: FamilyCollector, { name, help, labels, figure }: NamedFigure): void {
  if (figure === undefined) return
  const [ending, factor] = BASE_UNITS[figure.unit]
  const inBase = (value: number | null) => (value === null ? null : value * factor)
  families.add(`evenpull_${name}_${ending}`, `${help}.`, labels, inBase(figure.value))
  const uncertainty = figure.value === null ? null : inBase(figure.U)
  families.add(`evenpull_${name}_uncertainty_${ending}`, `${help}: expanded uncertainty.`, labels, uncertainty)
  for (const state of verdictState.options)
    families.add(
      'evenpull_verdict',
      '1 for the verdict a figure stands at, 0 for the others.',
      { ...labels, figure: name, state },
      state === figure.verdict.state ? 1 : 0,
    )
}

function livesOf(now: ZoneNow): { labels: Labels; live: Live }[] {
  const sides = Object.entries(now.sides).map(([source, { live }]) => ({ source, live }))
  const aux = Object.entries(now.aux).flatMap(([source, live]) => (live === undefined ? [] : [{ source, live }]))
  return [...sides, ...aux].map(({ source, live }) => ({ labels: { zone: now.zone, source }, live }))
}

function addLive(families: FamilyCollector, labels: Labels, live: Live): void {
  const unit = Object.hasOwn(BASE_UNITS, live.unit) ? BASE_UNITS[live.unit as Figure['unit']] : undefined
  if (unit !== undefined) {
    const [ending, factor] = unit
    const usable = live.value !== null && qualityOf(live.code) !== 'bad'
    const value = usable ? (live.value ?? 0) * factor : null
    families.add(
      `evenpull_sample_${ending}`,
      'Newest sample of a source of the zone; absent while it is bad.',
      labels,
      value,
    )
  }
  const timeMs = live.timeMs === null ? null : live.timeMs / 1000
  families.add('evenpull_sample_timestamp_seconds', 'When that sample was taken.', labels, timeMs)
}

/** Gathers values by family, in the order the families first came. */
class FamilyCollector {
  readonly #families = new Map<string, { help: string; samples: { labels: Labels; value: number | null }[] }>()

  add(name: string, help: string, labels: Labels, value: number | null): void {
    const family = this.#families.get(name) ?? { help, samples: [] }
    family.samples.push({ labels, value })
    this.#families.set(name, family)
  }

  list(): MetricFamily[] {
    return [...this.#families].map(([name, { help, samples }]) => ({ name, type: 'gauge', help, samples }))
  }
}
