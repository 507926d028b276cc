import type { Side } from '../../../shared/sample.ts'
import type { Capture } from '../../../shared/schemas/verification/capture.ts'
import { mainsUnseen } from '../../spectrum/hidden-mains.ts'
import { amplitudeOf, newest, rateOf, sampledSeconds, sideOf, slopeOf } from '../captured.ts'
import { spanOfSide, type VerificationContext } from '../context.ts'
import { captureOf } from '../fields.ts'
import { answered, input, measured, repeats, untold } from '../figure.ts'
import { atMost, listed, within } from '../limits.ts'
import { notDone, resultOf } from '../result.ts'
import type { VerificationTest } from '../test.ts'

const SECONDS = 20
/** Of the good samples that come; less is not alive (common practice, no source). */
const ALIVE_SHARE = 0.98

export const electricChannels: VerificationTest = {
  id: 'electric.channels',
  stage: 'electric',
  title: 'Both channels alive and quiet',
  proves: 'Both sides give good numbers inside their range, and stand still when the machine does.',
  effect: 'What moves here is not the web: wire, supply, earth or moisture.',
  caution: null,
  steps: ['Machine stopped, web slack or off, nobody touching the roller.'],
  asFoundAsLeft: true,
  plan: ({ limits }) => ({
    fields: [],
    captures: [captureOf('still', 'Standing still', 'Leave everything still.', 'any', SECONDS)],
    limits: [
      listed('Noise standing still', atMost(limits.static_noise_percent, '% of span')),
      listed('Slope standing still', within(limits.static_slope_percent_per_min, '% of span a minute')),
    ],
    notFor: null,
  }),
  judge(context, evidence) {
    const capture = newest(evidence, 'still')
    if (capture === undefined) return notDone('missing: standing still')
    return resultOf(
      context.sides.flatMap((side) => figuresOf(context, capture, side)),
      ['Read the quality on Set-up; look at the spectrum for mains; insulation and shield where it wanders.'],
    )
  },
}

function figuresOf(context: VerificationContext, capture: Capture, side: Side) {
  const { limits } = context
  const all = capture.sides[side]
  const good = all === undefined || all.samples === 0 ? 0 : all.good / all.samples
  const alive = answered(
    { id: 'alive', title: 'Good samples come', side },
    good >= ALIVE_SHARE,
    'yes',
    'quality of the samples',
  )
  const of = sideOf(capture, side)
  const noiseLimit = atMost(limits.static_noise_percent, '%')
  if (of === undefined || of.noise === null)
    return [
      alive,
      untold(
        { id: 'static-noise', title: 'Noise standing still', side },
        '%',
        'no good samples of this side',
        noiseLimit,
      ),
    ]
  if (of.distinct <= 1)
    return [
      alive,
      untold(
        { id: 'static-noise', title: 'Noise standing still', side },
        '%',
        'every sample is the same number: it may be frozen; touch the roller during a capture',
        noiseLimit,
      ),
    ]
  const span = spanOfSide(context, side)
  const perMinute = (100 * 60) / span
  const slope = slopeOf(capture, side)
  const mains = capture.lines.filter((line) => line.side === side && line.sources[0]?.includes('mains') === true)
  const mainsName = { id: 'mains-amplitude', title: 'Mains line', side }
  // Where its alias is nowhere to be seen, no line is no reading.
  const unseen = mainsUnseen(rateOf(capture, of))
  return [
    alive,
    answered({ id: 'in-band', title: 'Inside its range', side }, of.atEnd === 0, 'yes', 'ends of the channel’s range'),
    measured({
      id: 'static-noise',
      title: 'Noise standing still',
      side,
      value: (100 * of.noise) / span,
      unit: '%',
      uRandom: (100 * of.noise) / span / Math.sqrt(2 * Math.max(1, of.good - 1)),
      limit: noiseLimit,
      formula: '1 σ after slow motion is removed / span',
      source: 'u of a standard deviation, σ/√(2(n − 1)) (JCGM 100, E.4.3)',
      inputs: [input('noise', of.noise, 'N'), input('span', span, 'N')],
    }),
    ...(slope === undefined
      ? []
      : [
          measured({
            id: 'static-slope',
            title: 'Slope standing still',
            side,
            value: slope.value * perMinute,
            unit: '%/min',
            uRandom: slope.u * perMinute,
            dof: slope.dof,
            limit: within(limits.static_slope_percent_per_min, '%/min'),
            averaging: { ...repeats(sampledSeconds(capture), 'the capture'), power: 3 },
            formula: 'least-squares slope of the picture / span; u from the scatter about it',
            source: 'NIST/SEMATECH e-Handbook 4.4.3.1',
          }),
        ]),
    ...(mains[0] === undefined && unseen !== null
      ? [untold(mainsName, 'N', unseen)]
      : [
          measured({
            ...mainsName,
            ...amplitudeOf(mains[0], of),
            unit: 'N',
            limit: null,
            formula: 'amplitude of the line whose first source is the mains; 0 where none stands out of the noise',
            source: 'spectrum of the capture',
          }),
        ]),
    measured({
      id: 'distinct-values',
      title: 'Distinct values',
      side,
      value: of.distinct,
      unit: '',
      limit: null,
      formula: 'how many different numbers came',
      source: 'counted',
    }),
  ]
}
