import type { OperatingState, ZoneGeometry } from './description.ts'
import type { Expected, ExpectedSide } from './expected.ts'
import { differenceFactor } from './force-factor.ts'
import { entriesOf, SIDE_WORDS } from './sided.ts'
import { degrees } from './vector.ts'

/** A figure with its formula, the same with the numbers put in, and where the formula is from. */
export interface WorkedFormula {
  readonly figure: string
  readonly formula: string
  readonly numbers: string
  readonly source: string
}

const n = (value: number, digits: number): string => value.toFixed(digits)
const deg = (angle: number): string => `${n(degrees(angle), 2)}°`

const MOMENTUM_BALANCE = 'momentum balance on the wrapped web; at rest the belt resultant of statics textbooks'
const MOMENTS = 'balance of moments of a beam on two supports'
const PROJECTION = 'projection on the sensing axis'

/** Every figure of an expectation with its formula and numbers, for the reader who asks why. */
export function workedFormulas(geometry: ZoneGeometry, state: OperatingState, expected: Expected): WorkedFormula[] {
  const { width, basisWeight } = geometry.web
  const { incoming, outgoing, angle } = expected.wrap
  return [
    {
      figure: 'wrap',
      formula: 'θ = turn·(angle out − angle in)',
      numbers: `${deg(outgoing.angle)} against ${deg(incoming.angle)}, turned ${expected.wrap.turn === 1 ? 'counter-clockwise' : 'clockwise'} = ${deg(angle)}`,
      source: 'common tangents of two circles, plane geometry',
    },
    {
      figure: 'momentum',
      formula: 'm·v² = basis weight · width · v²',
      numbers: `${n(basisWeight, 4)} kg/m² · ${n(width, 3)} m · (${n(state.speed, 2)} m/s)² = ${n(expected.momentum, 2)} N`,
      source: MOMENTUM_BALANCE,
    },
    ...entriesOf(expected.sides).flatMap(([side, told]) =>
      sideFormulas(geometry, state, expected, SIDE_WORDS[side], told),
    ),
  ]
}

function sideFormulas(
  { roller, gravity }: ZoneGeometry,
  state: OperatingState,
  { wrap, momentum }: Expected,
  side: string,
  told: ExpectedSide,
): WorkedFormula[] {
  const lean = differenceFactor(told.arrow, wrap)
  const rise =
    state.tensionRise === 0 ? '' : ` + ${n(told.tensionShare, 4)} · ${n(lean, 4)} · ${n(state.tensionRise, 2)} N`
  return [
    {
      figure: `force factor, ${side}`,
      formula: 'k = 2·sin(θ/2)·cos δ',
      numbers: `2 · sin(${deg(wrap.angle)}/2) · cos(${deg(told.offBisector)}) = ${n(told.forceFactor, 4)}`,
      source: PROJECTION,
    },
    {
      figure: `force of the web, ${side}`,
      formula: 'F = share_T·(k·T + cos(θ/2)·sin δ·(T_out − T_in)) − share_w·k·m·v²',
      numbers: `${n(told.tensionShare, 4)} · ${n(told.forceFactor, 4)} · ${n(state.tension, 1)} N${rise} − ${n(told.webShare, 4)} · ${n(told.forceFactor, 4)} · ${n(momentum, 2)} N = ${n(told.webForce, 2)} N`,
      source: `${MOMENTUM_BALANCE}; ${MOMENTS}`,
    },
    {
      figure: `bare roller, ${side}`,
      formula: 'W_s = share_W·M·g·(a·down)',
      numbers: `${n(told.weightShare, 4)} · ${n(roller.mass, 2)} kg · ${n(gravity, 4)} m/s² · ${n(-Math.sin(told.arrow), 4)} = ${n(told.bareForce, 2)} N`,
      source: PROJECTION,
    },
  ]
}
