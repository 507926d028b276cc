import type { Side } from '../../../shared/sample.ts'
import type { Capture, CapturedSide } from '../../../shared/schemas/verification/capture.ts'
import type { RecordFigure } from '../../../shared/schemas/verification/result.ts'
import { mainsUnseen } from '../../spectrum/hidden-mains.ts'
import { shortNumber } from '../../statistics/words.ts'
import { amplitudeOf, capturesOf, rateOf, sideOf } from '../captured.ts'
import type { VerificationContext } from '../context.ts'
import { captureOf } from '../fields.ts'
import { input, measured, untold } from '../figure.ts'
import { atMost, listed, within } from '../limits.ts'
import { notDone, resultOf } from '../result.ts'
import type { VerificationTest } from '../test.ts'

const SECONDS = 60
/** A line this near to a turn rate is that turn's, share of it (common practice, no source). */
const NEAR = 0.03
type Line = Capture['lines'][number]

export const runningLines: VerificationTest = {
  id: 'running.lines',
  stage: 'running',
  title: 'Lines of the spectrum',
  proves: 'What the signals do at each turn and at the mains is known by its source.',
  effect: 'Unbalance grows with the square of speed, runout does not; a turn rate below v/(πD) is a roller that slips.',
  caution: 'Guards closed, hands away.',
  steps: ['Run steadily at a low and at a high speed, a minute each.'],
  plan: ({ geometry, zone, limits }) => ({
    fields: [],
    captures: [captureOf('line', 'Steady running', 'Keep the speed constant.', 'steady', SECONDS, { times: 2 })],
    limits: [
      listed('Once a turn', atMost(limits.once_per_turn_percent, '% of the side’s force')),
      ...(zone.roller_speed === undefined
        ? []
        : [listed('Turn rate off v/(πD)', within(limits.turn_rate_percent, '%'))]),
    ],
    notFor:
      geometry === null
        ? 'the zone has no geometry: no roller’s turn is known'
        : zone.speed === undefined
          ? 'no channel tells the speed: no turn rate is known'
          : null,
  }),
  judge(context, evidence) {
    const captures = capturesOf(evidence, 'line').filter(({ speed }) => speed !== null)
    const figures = [
      ...context.sides.flatMap((side) => [
        ...captures.flatMap((capture) => turnAt(context, capture, side)),
        ...exponentOf(context, captures, side),
      ]),
      ...captures.flatMap((capture) => turnRate(context, capture)),
    ]
    if (!hasTwoSpeeds(captures)) return notDone('missing: steady running at two speeds, at least 15 % apart', figures)
    return resultOf(figures, [
      'Grows with v²: balance the roller. Stays alike at both speeds: regrind or replace the shell. Mains: shield and earth.',
    ])
  },
}

/** Speeds further apart than this are two (common practice, no source). */
const APART = 1.15

function hasTwoSpeeds(captures: readonly Capture[]): boolean {
  const speeds = captures.map(({ speed }) => speed?.value ?? Number.NaN)
  return captures.length > 1 && Math.max(...speeds) >= APART * Math.min(...speeds)
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

/** Lines of one side in one capture: its own turn, the mains, a neighbour’s turn. */
export function turnAt(context: VerificationContext, capture: Capture, side: Side): RecordFigure[] {
  const of: CapturedSide | undefined = sideOf(capture, side)
  const point = `${shortNumber((capture.speed?.value ?? Number.NaN) * 60)} m/min`
  const share = { id: 'once-per-turn-share', title: 'Once a turn, of its force', side, point }
  const limit = atMost(context.limits.once_per_turn_percent, '%')
  if (of === undefined || of.force === null) return [untold(share, '%', 'no good samples of this side', limit)]
  const lines = capture.lines.filter((line) => line.side === side)
  const turn = turnHz(context, capture)
  const line = nearest(lines, turn, NEAR)
  const mains = lines.filter(isMains).toSorted((a, b) => b.amplitude - a.amplitude)[0]
  const mainsName = { id: 'mains-amplitude', title: 'Mains', side, point }
  // Where its alias is nowhere to be seen, no line is no reading.
  const unseen = mainsUnseen(rateOf(capture, of))
  const amplitude = amplitudeOf(line, of)
  const force = Math.abs(of.force.value)
  const neighbours = neighbourLines(context, capture, lines, turn)
  return [
    measured({
      id: 'once-per-turn',
      title: 'Once a turn of the measuring roller',
      side,
      point,
      ...amplitude,
      unit: 'N',
      limit: null,
      formula: 'amplitude of the largest line within 3 % of v/(πD); 0 where none stands out of the noise',
      source: 'spectrum of the capture',
      inputs: [input('turn rate', turn, 'Hz'), input('line', line?.hertz ?? null, 'Hz')],
    }),
    measured({
      ...share,
      value: (100 * amplitude.value) / force,
      unit: '%',
      parts: amplitude.parts.map((part) => ({ ...part, contribution: (100 * part.contribution) / force })),
      limit,
      formula: 'amplitude / mean force',
      source: 'spectrum of the capture',
    }),
    ...(mains === undefined && unseen !== null
      ? [untold(mainsName, 'N', unseen)]
      : [
          measured({
            ...mainsName,
            ...amplitudeOf(mains, of),
            unit: 'N',
            limit: null,
            formula: 'amplitude of the largest line whose first source is the mains; 0 where none stands out',
            source: 'spectrum of the capture',
          }),
        ]),
    measured({
      id: 'neighbour-amplitude',
      title: 'Once a turn of a neighbour',
      side,
      point,
      ...amplitudeOf(neighbours, of),
      unit: 'N',
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
  if (slow === undefined || fast === undefined || !(fast.speed >= APART * slow.speed)) return []
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
  if (context.zone.roller_speed === undefined) return []
  const { turn_rate_percent: rate } = context.limits
  const off = rate.value / 100
  const limit = { low: 1 - off, high: 1 + off, text: `1 ± ${rate.value} %`, source: rate.source }
  const point = `${shortNumber((capture.speed?.value ?? Number.NaN) * 60)} m/min`
  const name = { id: 'turn-rate-ratio', title: 'Turn rate over v/(πD)', point }
  if (capture.rollerSpeed === null)
    return [untold(name, '', 'the channel of the roller’s speed gave no good samples', limit)]
  const turn = turnHz(context, capture)
  return [
    measured({
      ...name,
      value: capture.rollerSpeed.value / turn,
      unit: '',
      uRandom: capture.rollerSpeed.u / turn,
      parts: [{ name: 'diameter and speed', contribution: 0.005 }],
      limit,
      formula: 'turns a second of the roller / (v/(πD))',
      source: 'a roller that does not slip follows the web',
    }),
  ]
}
