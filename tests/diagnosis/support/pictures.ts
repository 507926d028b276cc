import type { FaultId } from '../../../shared/faults.ts'
import type { Side } from '../../../shared/sample.ts'
import type { DiagnosisContext, DiagnosisFeature, FeatureId } from '../../../shared/schemas/diagnosis.ts'

/** Bisector 40° from vertical, pointing down, leaning upstream (270° − 40°): a paper line at 90° of wrap. */
export const CONTEXT: DiagnosisContext = {
  sides: ['drive_side', 'operator_side'],
  arrowTargetDeg: 230,
  wrapDeg: 90,
  momentumPercent: 10,
  weightN: 300,
  spanN: 400,
  usualPercentOfSpan: 50,
  otherPathsPercent: [-40, 25],
  referenceIsTyped: false,
}

export function feature(id: FeatureId, value: number, u = 0, side: Side | null = null): DiagnosisFeature {
  return { id, side, value, u, source: 'live', limit: null }
}
const ds = (id: FeatureId, value: number, u = 0) => feature(id, value, u, 'drive_side')
const os = (id: FeatureId, value: number, u = 0) => feature(id, value, u, 'operator_side')
const both = (id: FeatureId, value: number, u = 0) => [ds(id, value, u), os(id, value, u)]

/**
 * What each cause looks like in the words of the fault table, with numbers by hand; the arithmetic stands beside them.
 * The side at fault is the operator side.
 */
export const PICTURES: Readonly<Record<FaultId, readonly DiagnosisFeature[]>> = {
  // one falls as much as it should rise: mean error −100 %
  'arrow-reversed': [
    os('push-falls', 1),
    ds('push-falls', 0),
    feature('slope-common', -100, 1),
    os('arrow-error', 180, 0.5),
    ds('arrow-error', 0.3, 0.5),
  ],
  'polarity-reversed': [
    os('push-falls', 1),
    ds('push-falls', 0),
    feature('slope-common', -100, 1),
    ...both('arrow-error', 0.3, 0.5),
    os('shunt-error', -200, 0.3),
  ],
  'both-reversed': [...both('push-falls', 1), feature('slope-common', -200, 1), feature('agreement-now', -200, 2)],
  // 20°: cos 20° = 0.9397, −6.03 %
  'both-arrows-off': [
    ...both('arrow-error', 20, 0.5),
    feature('slope-common', -6.03, 1),
    feature('slope-difference', 0.2, 0.5),
  ],
  // 12°: tan² 6° = 1.105 %, OS low: −1.1 %; gravity: 100 (sin 230° − sin 242°) = −76.6 + 88.3 = 11.7 %
  'arrows-differ': [
    os('gravity-error', 11.7, 0.8),
    ds('gravity-error', 0.2, 0.8),
    feature('slope-difference', -1.1, 0.5),
    feature('slope-common', -1.1, 1.2),
  ],
  // OS 10 % high: mean 5 %, I = 0.1/2.1 = 4.76 %
  'gain-one-side': [
    feature('weight-difference', 4.76, 0.3),
    feature('weight-common', 5, 0.3),
    feature('slope-difference', 5, 0.5),
    ...both('arrow-error', 0.2, 0.5),
    ...both('arrow-from-rope', 0.1, 1),
    os('shunt-error', 0, 0.3),
    os('follows-cell', 1),
  ],
  'momentum-left-out': [
    feature('speed-effect', -100, 8),
    feature('slope-common', 0.3, 1),
    feature('slope-difference', 0.3, 0.5),
  ],
  'tight-bearing': [feature('spins-free', 0), ...both('hysteresis', 2.5, 0.3), feature('nothing-touches', 0)],
  moisture: [
    os('insulation', 5, 1),
    ds('insulation', 9000, 2000),
    os('zero-drift', 1.5, 0.1),
    os('static-slope', 2, 0.5),
  ],
  'cell-temperature-gradient': [
    os('zero-return', 2, 0.05),
    os('insulation', 9000, 1000),
    feature('drift-side-difference', -1.5, 0.1),
    os('zero-drift', -1.6, 0.1),
    os('zero-balance', 0.2, 0.2),
    os('zero-with-temperature', 0.003, 0.01),
  ],
  'channel-fault': [
    os('follows-channel', 1),
    os('follows-cell', 0),
    os('shunt-error', 12, 0.3),
    feature('slope-difference', 6, 0.5),
    feature('slope-common', 6, 1),
  ],
  'filters-differ': [feature('rise-ratio', 4, 0.2), feature('step-delay', 700, 10)],
  // vanishes under a centred weight
  'web-off-centre': [
    feature('imbalance-now', 15, 0.5),
    feature('slope-difference', 15, 0.5),
    feature('weight-difference', 0.1, 0.3),
    feature('slope-common', 0.1, 1),
  ],
  'sides-swapped': [...both('push-mapped', 0), ...both('push-falls', 0), feature('off-centre-slope', -1, 0.04)],
  'zero-wrong': [...both('offset', -20, 0.5), ...both('zero-return', -20, 0.1), feature('slope-common', 0.2, 1)],
  'span-wrong': [
    feature('weight-common', 15, 0.3),
    feature('slope-common', 15, 1),
    feature('slope-difference', 0, 0.5),
  ],
  'other-path': [feature('path-as-drawn', 0), feature('slope-common', -40, 1), feature('weight-common', 0.1, 0.3)],
  binding: [
    os('free-play', 0),
    ds('free-play', 1),
    os('hysteresis', 4, 0.3),
    os('zero-return', 1, 0.05),
    feature('weight-common', -1, 0.2),
  ],
  'clearance-closed': [
    os('end-clearance', 0.6, 0.1),
    ds('end-clearance', 2.2, 0.1),
    feature('growth-margin', -0.4, 0.15),
    os('zero-with-temperature', 0.3, 0.01),
  ],
  'loose-clamp': [os('bolts-tight', 0), ds('bolts-tight', 1), os('repeatability', 2, 0.2), feature('steps', 5)],
  'overloaded-cell': [
    os('zero-step', 25, 0.2),
    os('zero-balance', 10, 0.2),
    os('zero-return', 25, 0.1),
    os('insulation', 8000, 500),
  ],
  'thermal-zero-drift': [
    os('zero-with-temperature', 0.2, 0.01),
    ds('zero-with-temperature', 0, 0.01),
    feature('temperature-difference', 0.2, 0.03),
    os('end-clearance', 2.3, 0.1),
    ds('end-clearance', 2.2, 0.1),
  ],
  'span-drift': [
    // 2 %/h of one side: of 200 N by the web and of 300 sin 50° N by the roller, in a span of 400 N.
    feature('span-drift', 1, 0.1),
    feature('drift-side-difference', 2.15, 0.1),
    os('zero-drift', 1.15, 0.05),
    ds('zero-drift', 0, 0.05),
  ],
  'open-bridge': [os('alive', 0), ds('alive', 1), os('in-band', 0), os('bridge-error', 9000, 10)],
  'intermittent-cable': [os('spikes', 5, 1), ds('spikes', 0.1, 0), os('wiggle-spikes', 20, 2), os('wiggle-bad', 6, 1)],
  'mains-hum': [...both('static-mains', 1, 0.05), ...both('mains-running', 1, 0.05)],
  'drive-interference': [
    ...both('drive-noise-ratio', 20, 1),
    ...both('noise', 1.5, 0.1),
    ...both('static-noise', 0.03, 0.003),
  ],
  'roller-unbalance': [...both('once-per-turn', 5, 0.2), ...both('speed-exponent', 2, 0.2)],
  'roller-runout': [...both('once-per-turn', 5, 0.2), ...both('speed-exponent', 0, 0.2), feature('runout', 0.3, 0.02)],
  'neighbour-roller': [...both('neighbour-line', 5, 0.2), ...both('once-per-turn', 0.2, 0.05)],
  saturation: [...both('saturated-share', 20, 1), ...both('in-band', 0)],
  'coarse-resolution': [...both('distinct-values', 3), ...both('static-distinct', 1)],
  'filter-too-heavy': [...both('rise', 12, 0.5), feature('rise-ratio', 1, 0.05), ...both('noise', 0.1, 0.01)],
  'stuck-value': [os('moves', 0), ds('moves', 1), os('distinct-values', 1), ds('distinct-values', 150)],
  'idler-slipping': [feature('turn-ratio', 0.9, 0.003)],
  'tension-change': [
    feature('tension-change', 20, 0.3),
    feature('reference-change', 20, 0.3),
    feature('agreement-now', 0.3, 1),
  ],
}
