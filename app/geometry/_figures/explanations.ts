import { workedFormulas } from '../../../lib/geometry/formulas.ts'
import { entriesOf, ofSide } from '../../../lib/geometry/sided.ts'
import { degrees } from '../../../lib/geometry/vector.ts'
import type { Propagated } from '../../../lib/uncertainty/propagate.ts'
import { formatNumber, formatTrimmed, withUnit } from '../../_ui/format.ts'
import { SIDES } from '../../_ui/sides.ts'
import type { Units } from '../../_ui/units.tsx'
import type { Figures, Level } from '../_model/compute.ts'
import type { Explanation } from './Explained.tsx'
import { directionInDegrees, inDegrees } from './words.ts'

const BELT = 'momentum balance on the wrapped web; for a standing web the belt resultant of statics textbooks'

/** An input's value or u in a reader's unit: angles in degrees, lengths and forces as chosen. */
export function inputInWords(value: number, unit: string, units: Units): string {
  if (unit === 'rad') return `${formatTrimmed(degrees(value))}°`
  if (unit === 'kg/m²') return withUnit(formatTrimmed(1000 * value), 'g/m²')
  if (unit === '1') return formatTrimmed(value)
  return units.plain(value, unit, true)
}

const inputsOf = ({ budget }: Propagated, units: Units): Explanation['inputs'] =>
  budget
    .filter(({ u, contribution }) => u > 0 && contribution !== 0)
    .sort((a, b) => Math.abs(b.contribution) - Math.abs(a.contribution))
    .slice(0, 8)
    .map(({ name, value, u, unit }) => ({
      name,
      value: inputInWords(value, unit, units),
      u: inputInWords(u, unit, units),
    }))

/** Which of a level's uncertain figures an explanation is of; null where it shows no inputs. */
type Pick = (uncertain: Level['uncertain']) => Propagated | undefined

/** A figure as lib/geometry works it, in SI: one line of numbers a side. `figure` is its name there. */
export function explainWorked(
  level: Level,
  { configured }: Figures,
  figure: string,
  of: Pick,
  units: Units,
): Explanation {
  const worked = workedFormulas(configured.geometry, level.state, level.expected).filter(
    (one) => one.figure === figure || one.figure.startsWith(`${figure}, `),
  )
  const uncertain = of(level.uncertain)
  return {
    formula: worked[0]?.formula ?? '',
    numbers: worked.map(
      (one) => one.figure.slice(figure.length + 2) + (one.figure === figure ? '' : ': ') + one.numbers,
    ),
    source: worked[0]?.source ?? '',
    inputs: uncertain === undefined ? [] : inputsOf(uncertain, units),
  }
}

export function explainTarget({ expected }: Level, { config }: Figures): Explanation {
  const { incoming, angle, turn, bisector } = expected.wrap
  const sign = turn === 1 ? '+' : '−'
  const numbers = [
    `bisector: ${inDegrees(incoming.angle)} ${sign} (${inDegrees(angle)} + 180°)/2 = ${directionInDegrees(bisector)} from downstream, counter-clockwise`,
  ]
  if (config.target.kind !== 'bisector')
    numbers.push(
      config.target.kind === 'mount-axis'
        ? `the mount’s axis, as typed: ${formatTrimmed(config.target.deg)}°`
        : `the bisector with the moving neighbour at ${formatTrimmed(config.target.neighbour)} ${config.moving?.kind === 'dancer-arm' ? '°' : 'mm'}: ${directionInDegrees(expected.target.angle)}`,
    )
  return {
    formula: 'arrow along the resultant u_out − u_in, which bisects the wrap',
    numbers,
    source: BELT,
    inputs: [],
  }
}

export function explainSignal(level: Level, figures: Figures, units: Units): Explanation {
  const lines = entriesOf(level.expected.sides).flatMap(([side, { force, bareForce, webForce, signal }]) => {
    const source = figures.signals[side]
    if (source == null) return []
    const name = SIDES[side].name
    if (source.kind === 'channel')
      return [
        `${name}: ${formatTrimmed(source.zero)} ${source.unit} + ${units.plain(webForce, 'N', false)} ÷ ${formatTrimmed(source.gainN)} N per ${source.unit} = ${formatNumber(source.zero + webForce / source.gainN, 3)} ${source.unit}`,
      ]
    const { chain, capacity } = ofSide(figures.configured.geometry.cells, side)
    const unit = source.unit
    if (chain.kind === 'mV/V' || chain.kind === 'mV')
      return [
        `${name}: (${formatTrimmed(chain.zeroBalance)} + ${units.plain(force, 'N', false)} ÷ ${units.plain(capacity, 'N', false)} × ${formatTrimmed(chain.ratedOutput)}) mV/V${chain.kind === 'mV' ? ` × ${formatTrimmed(chain.excitation)} V` : ''} = ${formatNumber(signal, 3)} ${unit}`,
      ]
    const seen = chain.zeroedOn === 'bare roller' ? force - bareForce : force
    return [
      `${name}: zero + ${units.plain(seen, 'N', false)} ÷ ${units.plain(chain.fullScaleForce, 'N', false)} × span of the output = ${formatNumber(signal, 3)} ${unit}`,
    ]
  })
  return {
    formula:
      'zero + force ÷ force of the full output × span of the output; for a bare cell force ÷ capacity × rated output',
    numbers: lines,
    source: Object.values(figures.signals).some((source) => source?.kind === 'channel')
      ? 'zero and gain of the channels in the config (no output is described in this geometry)'
      : 'the output described in this geometry; ranges after IEC 60381-1 and -2 and NAMUR NE 43',
    inputs: [],
  }
}
