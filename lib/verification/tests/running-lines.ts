import type { Side } from '../../../shared/sample.ts'
import type { Capture, CapturedSide, RecordFigure } from '../../../shared/schemas/verification.ts'
import { shortNumber } from '../../statistics/words.ts'
import { capturesOf, sideOf } from '../captured.ts'
import type { VerificationContext } from '../context.ts'
import { captureOf } from '../fields.ts'
import { input, measured } from '../figure.ts'
import { notDone, resultOf } from '../result.ts'
import type { VerificationTest } from '../test.ts'

const SECONDS = 60
/** A line this near to a turn rate is that turn's, share of it (common practice, no source). */
const NEAR = 0.03
/** Of tension: a line of one turn over this is to be looked into (common practice, no source). */
const ONCE_PER_TURN = {
  low: null,
  high: 1,
  text: 'at most 1 % of the side’s force',
  source: 'common practice, no source',
}

type Line = Capture['lines'][number]

export const runningLines: VerificationTest = {
  id: 'running.lines',
  stage: 'running',
  title: 'Lines of the spectrum',
  proves: 'What the signals do at each turn and at the mains is known by its source.',
  effect: 'Unbalance grows with the square of speed, runout does not; a turn rate below v/(πD) is a roller that slips.',
  caution: 'Guards closed, hands away.',
  steps: ['Run steadily at a low and at a high speed, a minute each.'],
  plan: ({ geometry, zone }) => ({
    fields: [],
    captures: [captureOf('line', 'Steady running', 'Keep the speed constant.', 'steady', SECONDS, { times: 2 })],
    limits: [{ text: `Once a turn: ${ONCE_PER_TURN.text}`, source: ONCE_PER_TURN.source }],
    notFor:
      geometry === null
        ? 'the zone has no geometry: no roller’s turn is known'
        : zone.speed === undefined
          ? 'no channel tells the speed: no turn rate is known'
          : null,
  }),
  judge(context, evidence) {
    const captures = capturesOf(evidence, 'line').filter(({ speed }) => speed !== null)
    if (captures.length === 0) return notDone('missing: steady running')
    const figures = context.sides.flatMap((side) => [
      ...captures.flatMap((capture) => turnAt(context, capture, side)),
      ...exponentOf(context, captures, side),
    ])
    const slips = captures.flatMap((capture) => turnRate(context, capture))
    return resultOf(
      [...figures, ...slips],
      [
        'Grows with v²: balance the roller. Stays alike at both speeds: regrind or replace the shell. Mains: shield and earth.',
      ],
    )
  },
}

const isMains = ({ sources }: Line): boolean => sources[0]?.includes('mains') === true

/** v/(πD) of the measuring roller, Hz. */
function turnHz({ geometry }: VerificationContext, capture: Capture): number {
  const radius = geometry?.geometry.path.measuring.radius ?? Number.NaN
  return (capture.speed?.value ?? Number.NaN) / (2 * Math.PI * radius)
}

const nearest = (lines: readonly Line[], hertz: number, within: number): Line | undefined =>
  lines
    .filter((line) => Math.abs(line.hertz - hertz) <= within * hertz && !isMains(line))
    .toSorted((a, b) => b.amplitude - a.amplitude)[0]

function turnAt(context: VerificationContext, capture: Capture, side: Side): RecordFigure[] {
  const of: CapturedSide | undefined = sideOf(capture, side)
  if (of === undefined || of.force === null) return []
  const point = `${shortNumber((capture.speed?.value ?? Number.NaN) * 60)} m/min`
  const lines = capture.lines.filter((line) => line.side === side)
  const turn = turnHz(context, capture)
  const line = nearest(lines, turn, NEAR)
  const mains = lines.filter(isMains).toSorted((a, b) => b.amplitude - a.amplitude)[0]
  const amplitude = line?.amplitude ?? 0
  const force = Math.abs(of.force.value)
  const neighbours = neighbourLines(context, capture, lines, turn)
  return [
    measured({
      id: 'once-per-turn',
      title: 'Once a turn of the measuring roller',
      side,
      point,
      value: amplitude,
      unit: 'N',
      parts: line === undefined ? [] : [{ name: 'amplitude of the line', contribution: line.u }],
      limit: null,
      formula: 'amplitude of the largest line within 3 % of v/(πD); 0 where none stands out of the noise',
      source: 'spectrum of the capture',
      inputs: [input('turn rate', turn, 'Hz'), input('line', line?.hertz ?? null, 'Hz')],
    }),
    measured({
      id: 'once-per-turn-share',
      title: 'Once a turn, of its force',
      side,
      point,
      value: (100 * amplitude) / force,
      unit: '%',
      parts: line === undefined ? [] : [{ name: 'amplitude of the line', contribution: (100 * line.u) / force }],
      limit: ONCE_PER_TURN,
      formula: 'amplitude / mean force',
      source: 'spectrum of the capture',
    }),
    measured({
      id: 'mains-amplitude',
      title: 'Mains',
      side,
      point,
      value: mains?.amplitude ?? 0,
      unit: 'N',
      parts: mains === undefined ? [] : [{ name: 'amplitude of the line', contribution: mains.u }],
      limit: null,
      formula: 'amplitude of the largest line whose first source is the mains; 0 where none stands out',
      source: 'spectrum of the capture',
    }),
    measured({
      id: 'neighbour-amplitude',
      title: 'Once a turn of a neighbour',
      side,
      point,
      value: neighbours?.amplitude ?? 0,
      unit: 'N',
      parts: neighbours === undefined ? [] : [{ name: 'amplitude of the line', contribution: neighbours.u }],
      limit: null,
      formula: 'amplitude of the largest line within 3 % of a neighbour’s turn, apart from the measuring roller’s',
      source: 'spectrum of the capture',
    }),
  ]
}

function neighbourLines(
  { geometry }: VerificationContext,
  capture: Capture,
  lines: readonly Line[],
  own: number,
): Line | undefined {
  const path = geometry?.geometry.path
  const speed = capture.speed?.value ?? Number.NaN
  const radii = [path?.before.at(-1)?.radius, path?.after[0]?.radius].filter((r) => r !== undefined)
  return radii
    .map((radius) => speed / (2 * Math.PI * radius))
    .filter((hertz) => Math.abs(hertz - own) > 2 * NEAR * own)
    .flatMap((hertz) => nearest(lines, hertz, NEAR) ?? [])
    .toSorted((a, b) => b.amplitude - a.amplitude)[0]
}

/** n in amplitude ∝ vⁿ between the slowest and the fastest capture: 2 is unbalance, 0 runout. */
function exponentOf(context: VerificationContext, captures: readonly Capture[], side: Side): RecordFigure[] {
  const with_ = captures.flatMap((capture) => {
    const line = nearest(
      capture.lines.filter((one) => one.side === side),
      turnHz(context, capture),
      NEAR,
    )
    return line === undefined ? [] : [{ speed: capture.speed?.value ?? Number.NaN, line }]
  })
  const sorted = with_.toSorted((a, b) => a.speed - b.speed)
  const [slow, fast] = [sorted[0], sorted.at(-1)]
  if (slow === undefined || fast === undefined || !(fast.speed > 1.15 * slow.speed)) return []
  const ratio = Math.log(fast.speed / slow.speed)
  return [
    measured({
      id: 'speed-exponent',
      title: 'Once a turn grows with speed to the power of',
      side,
      value: Math.log(fast.line.amplitude / slow.line.amplitude) / ratio,
      unit: '',
      uRandom: Math.hypot(fast.line.u / fast.line.amplitude, slow.line.u / slow.line.amplitude) / ratio,
      limit: null,
      formula: 'ln(A₂/A₁)/ln(v₂/v₁)',
      source: 'unbalance force m r ω²; runout does not depend on speed',
      inputs: [
        input('slow', slow.line.amplitude, 'N', slow.line.u),
        input('fast', fast.line.amplitude, 'N', fast.line.u),
      ],
    }),
  ]
}

/** Its own turn against v/(πD), where a channel tells the roller's speed. */
function turnRate(context: VerificationContext, capture: Capture): RecordFigure[] {
  if (capture.rollerSpeed === null) return []
  const turn = turnHz(context, capture)
  return [
    measured({
      id: 'turn-rate-ratio',
      title: 'Turn rate over v/(πD)',
      point: `${shortNumber((capture.speed?.value ?? Number.NaN) * 60)} m/min`,
      value: capture.rollerSpeed.value / turn,
      unit: '',
      uRandom: capture.rollerSpeed.u / turn,
      parts: [{ name: 'diameter and speed', contribution: 0.005 }],
      limit: { low: 0.98, high: 1.02, text: '0.98 to 1.02', source: 'common practice, no source' },
      formula: 'turns a second of the roller / (v/(πD))',
      source: 'a roller that does not slip follows the web',
    }),
  ]
}
