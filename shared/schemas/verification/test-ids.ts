import { z } from 'zod'

/** What an install is proven by, and in which order; see lib/verification. */
export const VERIFICATION_STAGES = ['paper', 'fit', 'electric', 'known-weight', 'running', 'warm'] as const
export type VerificationStage = (typeof VERIFICATION_STAGES)[number]

export const sideName = z.enum(['drive_side', 'operator_side', 'single'])

/** STAGE.TEST; an id is kept in records and never reused for another test. */
export const TEST_IDS = [
  'paper.geometry',
  'paper.capacity',
  'paper.resolution',
  'paper.growth',
  'paper.arrow-target',
  'paper.live-zero',
  'fit.arrow-angle',
  'fit.end-clearance',
  'fit.free-play',
  'fit.bushing',
  'fit.clamps',
  'fit.bolts',
  'fit.level',
  'fit.spin-down',
  'fit.runout',
  'fit.nothing-touches',
  'fit.cables',
  'electric.bridge',
  'electric.insulation',
  'electric.excitation',
  'electric.shunt',
  'electric.channels',
  'electric.gravity',
  'electric.push',
  'electric.wiggle',
  'electric.cross-swap',
  'electric.drive-noise',
  'known-weight.series',
  'known-weight.off-centre',
  'known-weight.two-directions',
  'running.path',
  'running.points',
  'running.lines',
  'running.step',
  'running.neighbour',
  'warm.hold',
  'warm.zero-return',
  'warm.fingerprint',
] as const
export type TestId = (typeof TEST_IDS)[number]
export const testId = z.enum(TEST_IDS)
