import type { TestId } from '../../shared/schemas/verification/test-ids.ts'
import type { VerificationTest } from './test.ts'
import { electricBridge } from './tests/electric-bridge.ts'
import { electricChannels } from './tests/electric-channels.ts'
import { electricCrossSwap } from './tests/electric-cross-swap.ts'
import { electricDriveNoise } from './tests/electric-drive-noise.ts'
import { electricExcitation } from './tests/electric-excitation.ts'
import { electricGravity } from './tests/electric-gravity.ts'
import { electricInsulation } from './tests/electric-insulation.ts'
import { electricPush } from './tests/electric-push.ts'
import { electricShunt } from './tests/electric-shunt.ts'
import { electricWiggle } from './tests/electric-wiggle.ts'
import { fitArrowAngle } from './tests/fit-arrow-angle.ts'
import { fitEndClearance } from './tests/fit-end-clearance.ts'
import { fitLevel } from './tests/fit-level.ts'
import { fitBolts, fitBushing, fitCables, fitClamps, fitFreePlay, fitNothingTouches } from './tests/fit-looked-at.ts'
import { fitRunout } from './tests/fit-runout.ts'
import { fitSpinDown } from './tests/fit-spin-down.ts'
import { knownWeightOffCentre } from './tests/known-weight-off-centre.ts'
import { knownWeightSeries } from './tests/known-weight-series.ts'
import { knownWeightTwoDirections } from './tests/known-weight-two-directions.ts'
import { paperArrowTarget } from './tests/paper-arrow-target.ts'
import { paperCapacity } from './tests/paper-capacity.ts'
import { paperGeometry } from './tests/paper-geometry.ts'
import { paperGrowth } from './tests/paper-growth.ts'
import { paperLiveZero } from './tests/paper-live-zero.ts'
import { paperResolution } from './tests/paper-resolution.ts'
import { runningLines } from './tests/running-lines.ts'
import { runningNeighbour } from './tests/running-neighbour.ts'
import { runningPath } from './tests/running-path.ts'
import { runningPoints } from './tests/running-points.ts'
import { runningStep } from './tests/running-step.ts'
import { warmFingerprint } from './tests/warm-fingerprint.ts'
import { warmHold } from './tests/warm-hold.ts'
import { warmZeroReturn } from './tests/warm-zero-return.ts'

/** Every test by its id, in the order in which they are made. A new one gets its line here; the compiler asks for it. */
export const TESTS: Readonly<Record<TestId, VerificationTest>> = {
  'paper.geometry': paperGeometry,
  'paper.capacity': paperCapacity,
  'paper.resolution': paperResolution,
  'paper.growth': paperGrowth,
  'paper.arrow-target': paperArrowTarget,
  'paper.live-zero': paperLiveZero,
  'fit.arrow-angle': fitArrowAngle,
  'fit.end-clearance': fitEndClearance,
  'fit.free-play': fitFreePlay,
  'fit.bushing': fitBushing,
  'fit.clamps': fitClamps,
  'fit.bolts': fitBolts,
  'fit.level': fitLevel,
  'fit.spin-down': fitSpinDown,
  'fit.runout': fitRunout,
  'fit.nothing-touches': fitNothingTouches,
  'fit.cables': fitCables,
  'electric.bridge': electricBridge,
  'electric.insulation': electricInsulation,
  'electric.excitation': electricExcitation,
  'electric.shunt': electricShunt,
  'electric.channels': electricChannels,
  'electric.gravity': electricGravity,
  'electric.push': electricPush,
  'electric.wiggle': electricWiggle,
  'electric.cross-swap': electricCrossSwap,
  'electric.drive-noise': electricDriveNoise,
  'known-weight.series': knownWeightSeries,
  'known-weight.off-centre': knownWeightOffCentre,
  'known-weight.two-directions': knownWeightTwoDirections,
  'running.path': runningPath,
  'running.points': runningPoints,
  'running.lines': runningLines,
  'running.step': runningStep,
  'running.neighbour': runningNeighbour,
  'warm.hold': warmHold,
  'warm.zero-return': warmZeroReturn,
  'warm.fingerprint': warmFingerprint,
}
