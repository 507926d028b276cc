import { entriesOf, ofSide } from '../../../lib/geometry/sided.ts'
import { degrees } from '../../../lib/geometry/vector.ts'
import type { Propagated } from '../../../lib/uncertainty/propagate.ts'
import { formatNumber, formatTrimmed, withUnit } from '../../_ui/format.ts'
import { SIDES } from '../../_ui/sides.ts'
import type { Units } from '../../_ui/units.tsx'
import type { Figures, Level } from '../_model/compute.ts'
import type { Explanation } from './Explained.tsx'
import { directionInDegrees, inDegrees, percent } from './words.ts'

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

export function explainWrap({ expected, uncertain }: Level, units: Units): Explanation {
  const { incoming, outgoing, angle } = expected.wrap
  const difference = degrees(outgoing.angle - incoming.angle)
  return {
    formula:
      'θ = direction of the leaving span − direction of the arriving span, the way the roller turns; spans are the common tangents of the circles',
    numbers: [
      `${inDegrees(outgoing.angle)} − ${inDegrees(incoming.angle)} = ${formatNumber(difference, 1)}°, hence θ = ${inDegrees(angle)}`,
    ],
    source: 'plane geometry of circles and tangents',
    inputs: inputsOf(uncertain.wrap, units),
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

export function explainForceFactor({ expected, uncertain }: Level, units: Units): Explanation {
  const { angle } = expected.wrap
  const [first] = entriesOf(uncertain.sides)
  return {
    formula: 'k = a · (u_out − u_in) = 2·sin(θ/2)·cos δ, with δ the arrow off the bisector',
    numbers: entriesOf(expected.sides).map(
      ([side, { forceFactor, offBisector, loss }]) =>
        `${SIDES[side].name}: 2·sin(${inDegrees(angle)}/2)·cos(${inDegrees(offBisector)}) = ${formatNumber(forceFactor, 4)}; the arrow loses ${percent(loss, 2)}`,
    ),
    source: 'projection of the belt resultant on the arrow',
    inputs: first === undefined ? [] : inputsOf(first[1].forceFactor, units),
  }
}

export function explainForce(level: Level, units: Units): Explanation {
  const { expected, state, uncertain } = level
  const [first] = entriesOf(uncertain.sides)
  return {
    formula: 'F = share·k·(T − m·v²) for a web whose pull and centre lie together; share = ½ ± e/L by the line of pull',
    numbers: entriesOf(expected.sides).map(
      ([side, { tensionShare, forceFactor, webForce }]) =>
        `${SIDES[side].name}, at ${units.plain(state.tension, 'N', false)}: ${formatNumber(tensionShare, 4)} × ${formatNumber(forceFactor, 4)} × (${units.plain(state.tension, 'N', false)} − ${units.plain(expected.momentum, 'N', false)}) = ${units.plain(webForce, 'N', false)}`,
    ),
    source: `${BELT}; balance of moments of the roller on its cells`,
    inputs: first === undefined ? [] : inputsOf(first[1].webForce, units),
  }
}

export function explainBare({ expected }: Level, { configured }: Figures, units: Units): Explanation {
  const { roller, gravity } = configured.geometry
  return {
    formula: 'share · M·g · (a · straight down): what the zero takes away',
    numbers: entriesOf(expected.sides).map(
      ([side, { weightShare, arrow, bareForce }]) =>
        `${SIDES[side].name}: ${formatTrimmed(weightShare)} × ${formatTrimmed(roller.mass)} kg × ${formatTrimmed(gravity)} m/s² × (−sin ${directionInDegrees(arrow)}) = ${units.plain(bareForce, 'N', false)}`,
    ),
    source: 'projection of the roller’s weight on the arrow',
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
