import type { PlanStage } from '../../shared/schemas/verification/plan.ts'
import type { VerificationStage } from '../../shared/schemas/verification/test-ids.ts'

/** What every test of a stage has in common. Cautions defer to the site, the maker and qualified people. */
export const STAGES: Readonly<Record<VerificationStage, Pick<PlanStage, 'title' | 'machine' | 'caution'>>> = {
  paper: {
    title: 'Paper',
    machine: 'Nobody has to be at the machine.',
    caution: 'What is wrong on paper costs least to mend here.',
  },
  fit: {
    title: 'Fit',
    machine: 'Machine stopped and locked out.',
    caution:
      'Lock out under the site’s procedure before anybody touches roller, shaft or cell; by qualified people, by the maker’s instructions.',
  },
  electric: {
    title: 'Electric',
    machine: 'Machine stopped; locked out for the push and the wiggle test; instrument supply on.',
    caution: 'Only qualified people at the amplifier, under local codes; locked out wherever a hand is on the roller.',
  },
  'known-weight': {
    title: 'Known weight',
    machine: 'Machine stopped and locked out, web off.',
    caution: 'A hung weight can fall: rope, hook and hanger rated for it, nobody under it or in line with the rope.',
  },
  running: {
    title: 'Running',
    machine: 'Machine running, guards closed.',
    caution:
      'Running webs, nip points and winding rolls can injure or kill: guards closed, hands away, by whoever may run the machine.',
  },
  warm: {
    title: 'Warm',
    machine: 'Machine running and warm, then stopped.',
    caution: 'Guards closed while it runs; stop and lock out under the site’s procedure before anybody touches it.',
  },
}
