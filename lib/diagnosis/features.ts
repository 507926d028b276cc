import type { FeatureId } from '../../shared/schemas/diagnosis.ts'
import type { TestId } from '../../shared/schemas/verification/test-ids.ts'

/**
 * One quantity that speaks about causes: what it means, who tells it, and what healthy installs show.
 *
 * The healthy spread is what sound machines differ by (tolerances of cells, arrows set within their limit, a web that
 * never runs quite centred): the uncertainty of the reading itself comes on top. All spreads are common practice where
 * no source is named; they follow the default limits (about half of a limit is one standard deviation).
 */
export interface FeatureKind {
  readonly title: string
  readonly unit: string
  readonly sided: boolean
  /** Tests that give it; `passive` where a running zone tells it without one. */
  readonly tests: readonly TestId[]
  readonly passive: boolean
  /** `log`: an amplitude or a count, compared by ratio; values below `floor` count as `floor`. */
  readonly scale: 'linear' | 'log' | 'yes-no'
  /** Mean and standard deviation over healthy installs (for `log` of ln(value); for `yes-no` the share of yes). */
  readonly healthy: { readonly mean: number; readonly sd: number }
  /**
   * What the quantity can be at all; for `log` of the value, from where less (or, for insulation and counts of values,
   * more) says nothing any more. What lies beyond counts as the end.
   */
  readonly range: readonly [number, number]
  /** Standard uncertainty of a reading as it is usually made: for what is still to be measured. For `log` as a share. */
  readonly usualU: number
}

interface Told {
  readonly by?: readonly TestId[]
  readonly passive?: true
  readonly one?: true
}

const linear = (
  title: string,
  unit: string,
  mean: number,
  sd: number,
  range: readonly [number, number],
  usualU: number,
  { by = [], passive, one }: Told,
): FeatureKind => ({
  title,
  unit,
  sided: one !== true,
  tests: by,
  passive: passive === true,
  scale: 'linear',
  healthy: { mean, sd },
  range,
  usualU,
})

/** An amplitude or count: `usual` is what sound installs show, `factor` the ratio of one standard deviation. */
const log = (
  title: string,
  unit: string,
  usual: number,
  factor: number,
  range: readonly [number, number],
  usualU: number,
  told: Told,
): FeatureKind => ({
  ...linear(title, unit, Math.log(usual), Math.log(factor), range, usualU, told),
  scale: 'log',
})

const yesNo = (title: string, shareOfYes: number, told: Told): FeatureKind => ({
  ...linear(title, '', shareOfYes, 0, [0, 1], 0, told),
  scale: 'yes-no',
})

const POINTS = { by: ['running.points'] } as const satisfies Told
const LINES = { by: ['running.lines'], passive: true } as const satisfies Told
const CHANNELS = { by: ['electric.channels'] } as const satisfies Told
const SERIES = { by: ['known-weight.series'] } as const satisfies Told
const HOLD = { by: ['warm.hold'], passive: true, one: true } as const satisfies Told

export const FEATURES: Readonly<Record<FeatureId, FeatureKind>> = {
  alive: yesNo('Good samples come', 0.999, { by: ['electric.channels'], passive: true }),
  'in-band': yesNo('Inside its range', 0.995, { by: ['electric.channels'], passive: true }),
  moves: yesNo('The value changes', 0.999, { by: ['running.points'], passive: true }),
  'reads-negative': yesNo('Below its zero while the web pulls', 0.003, { by: ['running.points'], passive: true }),
  'agreement-now': linear('Measured less expected', '%', 0, 1.5, [-250, 250], 1.5, {
    by: ['running.points'],
    passive: true,
    one: true,
  }),
  'imbalance-now': linear('Side difference', '%', 0, 2, [-200, 200], 0.6, {
    by: ['running.points'],
    passive: true,
    one: true,
  }),
  noise: log('Noise, running', '% of its force', 0.35, 2, [0.001, 100], 0.1, {
    by: ['running.points'],
    passive: true,
  }),
  'saturated-share': log('Samples at an end of the range', '%', 0.01, 2, [0.01, 100], 0.2, {
    by: ['running.points'],
    passive: true,
  }),
  'distinct-values': log('Distinct values', '', 200, 2.2, [1, 500], 0.1, { by: ['running.points'], passive: true }),
  spikes: log('Spikes', 'in 1000 samples', 0.1, 2, [0.1, 1000], 0.3, { passive: true, by: ['running.points'] }),
  'bad-stretches': log('Stretches of bad samples', '', 0.1, 2, [0.1, 1000], 0.3, {
    passive: true,
    by: ['running.points'],
  }),
  'once-per-turn': log('Line at the roller’s own turn', '% of its force', 0.25, 2, [0.12, 200], 0.15, LINES),
  'mains-running': log('Line at the mains, running', '% of span', 0.01, 2.5, [0.005, 100], 0.2, LINES),
  'neighbour-line': log('Line at the neighbour’s turn', '% of its force', 0.2, 2, [0.1, 200], 0.2, LINES),
  'turn-ratio': linear('Turn rate over v/(πD)', '', 1, 0.003, [0, 2], 0.003, { ...LINES, one: true }),
  'drift-residual': linear('Drift of the agreement', '%/h', 0, 0.1, [-50, 50], 0.1, HOLD),
  'drift-side-difference': linear('Drift of the side difference', 'points/h', 0, 0.12, [-50, 50], 0.1, HOLD),
  'span-drift': linear('Drift of the ratio to expected', '%/h', 0, 0.1, [-50, 50], 0.1, HOLD),
  'zero-drift': linear('Drift of the zero', '% of span/h', 0, 0.05, [-50, 50], 0.05, { passive: true }),
  'zero-step': linear('Step of the zero', '% of span', 0, 0.15, [-300, 300], 0.1, { passive: true }),
  steps: log('Steps of the level', '', 0.3, 2, [0.3, 100], 0.2, HOLD),
  'temperature-effect': linear('Residual with temperature', '%/K', 0, 0.03, [-10, 10], 0.03, HOLD),
  'temperature-difference': linear('Side difference with temperature', 'points/K', 0, 0.03, [-10, 10], 0.03, HOLD),
  'zero-with-temperature': linear('Zero with temperature', '% of span/K', 0, 0.01, [-10, 10], 0.01, {
    by: ['warm.zero-return'],
    passive: true,
  }),
  'tension-change': linear('Tension against an earlier stretch', '%', 0, 1, [-100, 100], 0.3, {
    passive: true,
    one: true,
  }),
  'reference-change': linear('Reference against the same stretch', '%', 0, 1, [-100, 100], 0.3, {
    passive: true,
    one: true,
  }),
  'slope-common': linear('Share by which both are off', '%', 0, 1, [-250, 250], 1.2, { ...POINTS, one: true }),
  'slope-difference': linear('Side difference in proportion to tension', '%', 0, 1.8, [-200, 200], 0.5, {
    ...POINTS,
    one: true,
  }),
  offset: linear('Constant part', '% of span', 0, 0.3, [-300, 300], 0.5, POINTS),
  // A web is as heavy as it is sold to be within about 5 % (two standard deviations; from memory), and its width is typed.
  'speed-effect': linear('Left of m v²', '% of m v²', 0, 5, [-400, 400], 8, { ...POINTS, one: true }),
  'speed-exponent': linear('How the turn’s line grows with speed', '', 0.8, 0.7, [-10, 10], 0.1, {
    by: ['running.lines'],
  }),
  'step-opposed': yesNo('The sides move against one another', 0.003, { by: ['running.step'], one: true }),
  'step-delay': linear('Operator side after drive side', 'ms', 0, 15, [-20_000, 20_000], 10, {
    by: ['running.step'],
    one: true,
  }),
  'rise-ratio': log('Rise time, operator side over drive side', '', 1, 1.15, [0.001, 1000], 0.1, {
    by: ['running.step'],
    one: true,
  }),
  rise: log('Rise time', 's', 1.2, 2.2, [0.001, 1000], 0.1, { by: ['running.step'] }),
  'core-full-change': linear('Agreement near full less near core', '%', 0, 1.2, [-100, 100], 1, {
    by: ['running.neighbour'],
    one: true,
  }),
  'path-as-drawn': yesNo('The web runs as drawn', 0.99, { by: ['running.path'], one: true }),
  'arrow-error': linear('Arrow off its target, inclinometer', '°', 0, 0.8, [-90, 270], 0.5, {
    by: ['fit.arrow-angle'],
  }),
  'arrow-from-rope': linear('Arrow off its target, two ropes', '°', 0, 0.8, [-90, 90], 1, {
    by: ['known-weight.two-directions'],
  }),
  'gravity-error': linear('Weight component, measured less predicted', '% of its weight', 0, 0.8, [-300, 300], 0.8, {
    by: ['electric.gravity'],
  }),
  'zero-balance': linear('Unloaded cell off its certificate', '% of rated output', 0, 0.5, [-150, 150], 0.2, {
    by: ['electric.gravity'],
  }),
  'push-mapped': yesNo('The pushed end’s own channel moved', 0.998, { by: ['electric.push'] }),
  'push-falls': yesNo('The pushed end’s signal fell', 0.002, { by: ['electric.push'] }),
  'weight-common': linear('Gain error, both sides', '%', 0, 0.4, [-250, 250], 0.3, { ...SERIES, one: true }),
  'weight-difference': linear('Side difference, centred weight', '%', 0, 0.5, [-200, 200], 0.4, {
    ...SERIES,
    one: true,
  }),
  nonlinearity: log('Nonlinearity', '% of span', 0.1, 1.7, [0.06, 100], 0.3, SERIES),
  hysteresis: log('Hysteresis', '% of span', 0.12, 1.7, [0.07, 100], 0.3, SERIES),
  repeatability: log('Repeatability', '% of span', 0.08, 1.7, [0.05, 100], 0.3, SERIES),
  'weight-zero-return': linear('Zero return after the weights', '% of span', 0, 0.1, [-100, 100], 0.05, SERIES),
  'off-centre-slope': linear('Movement of the difference over 2F/L', '', 1, 0.04, [-3, 3], 0.04, {
    by: ['known-weight.off-centre'],
    one: true,
  }),
  'sum-change': linear('Sum when the weight moves', '%', 0, 0.4, [-100, 100], 0.3, {
    by: ['known-weight.off-centre'],
    one: true,
  }),
  'shunt-error': linear('Shunt step off what it should read', '%', 0, 0.4, [-250, 250], 0.3, {
    by: ['electric.shunt'],
  }),
  'bridge-error': linear('Output resistance off its certificate', '%', 0, 0.6, [-100, 10_000], 0.2, {
    by: ['electric.bridge'],
  }),
  'bridge-input-error': linear('Input resistance off its certificate', '%', 0, 2, [-100, 10_000], 0.2, {
    by: ['electric.bridge'],
  }),
  insulation: log('Insulation', 'MΩ', 3000, 2, [0.001, 5000], 0.3, { by: ['electric.insulation'] }),
  'excitation-error': linear('Excitation off its value', '%', 0, 0.6, [-100, 100], 0.2, {
    by: ['electric.excitation'],
  }),
  'static-noise': log('Noise standing still', '% of span', 0.03, 2, [0.0001, 100], 0.1, CHANNELS),
  'static-slope': linear('Slope standing still', '% of span/h', 0, 0.5, [-500, 500], 0.5, CHANNELS),
  'static-mains': log('Line at the mains, standing still', '% of span', 0.01, 2.5, [0.005, 100], 0.2, CHANNELS),
  'static-distinct': log('Distinct values standing still', '', 30, 3, [1, 60], 0.1, CHANNELS),
  'drive-noise-ratio': log('Noise with the drive over without', '', 1.05, 1.25, [0.85, 1000], 0.1, {
    by: ['electric.drive-noise'],
  }),
  'wiggle-spikes': log('Spikes while the cable is moved', '', 0.2, 2, [0.2, 10_000], 0.2, { by: ['electric.wiggle'] }),
  'wiggle-bad': log('Bad stretches while the cable is moved', '', 0.2, 2, [0.2, 1000], 0.2, {
    by: ['electric.wiggle'],
  }),
  'follows-channel': yesNo('It stayed with the channel', 0.05, { by: ['electric.cross-swap'] }),
  'follows-cell': yesNo('It went with the cell', 0.05, { by: ['electric.cross-swap'] }),
  'end-clearance': linear('End clearance', 'mm', 2.2, 0.35, [-10, 50], 0.1, { by: ['fit.end-clearance'] }),
  'growth-margin': linear('Clearance left when warm', 'mm', 1.3, 0.5, [-20, 50], 0.15, {
    by: ['fit.end-clearance'],
    one: true,
  }),
  'free-play': yesNo('Free play is felt', 0.985, { by: ['fit.free-play'] }),
  'bushing-flush': yesNo('Bushing flush', 0.985, { by: ['fit.bushing'] }),
  'clamps-crosswise': yesNo('Clamps tightened crosswise', 0.97, { by: ['fit.clamps'] }),
  'bolts-tight': yesNo('Bolts at torque', 0.985, { by: ['fit.bolts'] }),
  'nothing-touches': yesNo('Nothing else touches', 0.985, { by: ['fit.nothing-touches'], one: true }),
  'cables-seated': yesNo('Cables seated', 0.985, { by: ['fit.cables'] }),
  'spins-free': yesNo('Runs out evenly', 0.985, { by: ['fit.spin-down'], one: true }),
  runout: log('Runout', 'mm', 0.03, 1.8, [0.015, 10], 0.2, { by: ['fit.runout'], one: true }),
  'zero-return': linear('Off its zero after stop', '% of span', 0, 0.1, [-300, 300], 0.05, {
    by: ['warm.zero-return'],
  }),
}

/** What a running zone tells without anybody's hands. */
export const PASSIVE_FEATURES: readonly FeatureId[] = (Object.keys(FEATURES) as FeatureId[]).filter(
  (id) => FEATURES[id].passive,
)
