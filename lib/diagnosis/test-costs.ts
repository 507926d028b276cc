import type { TestId } from '../../shared/schemas/verification/test-ids.ts'

/** What a test costs to make: minutes, and how much standing near the machine weighs beside them (common practice). */
export interface TestCost {
  readonly title: string
  readonly minutes: number
  /** Minutes count this many times: 1 for looking at a screen, more for hands at the roller. */
  readonly care: number
  readonly caution: string | null
}

const LOCKED = 'Stopped and locked out under the site’s procedure.'
const GUARDS = 'Guards closed, hands away.'

const locked = (title: string, minutes: number): TestCost => ({ title, minutes, care: 1.5, caution: LOCKED })
const running = (title: string, minutes: number): TestCost => ({ title, minutes, care: 1, caution: GUARDS })

/** Tests that tell a feature. What has no row tells diagnosis nothing. */
export const TEST_COSTS: Readonly<Partial<Record<TestId, TestCost>>> = {
  'fit.arrow-angle': locked('Both arrows by inclinometer', 10),
  'fit.end-clearance': locked('End clearance', 10),
  'fit.free-play': locked('Free play', 5),
  'fit.bushing': locked('Bushings', 8),
  'fit.clamps': locked('Clamps', 10),
  'fit.bolts': locked('Mounting bolts', 10),
  'fit.spin-down': locked('Spin the roller by hand', 5),
  'fit.runout': locked('Runout by dial', 15),
  'fit.nothing-touches': locked('Nothing else touches roller or shaft', 5),
  'fit.cables': locked('Cables seated', 5),
  'electric.bridge': locked('Bridge resistance', 15),
  'electric.insulation': locked('Insulation', 15),
  'electric.excitation': locked('Excitation at the cell', 10),
  'electric.shunt': locked('Shunt or bridge simulator', 15),
  'electric.channels': { title: 'Both channels standing still', minutes: 3, care: 1, caution: 'Stopped.' },
  'electric.gravity': {
    title: 'Bare roller against its weight',
    minutes: 40,
    care: 2,
    caution: 'Locked out; lift the roller by its sling only, with nobody under it.',
  },
  'electric.push': locked('Push each end the way the web pulls', 5),
  'electric.wiggle': locked('Move the cables', 8),
  'electric.cross-swap': locked('Exchange the two cells’ plugs', 15),
  'electric.drive-noise': {
    title: 'Noise with the drive enabled',
    minutes: 5,
    care: 1.2,
    caution: 'No web, guards closed, everybody clear.',
  },
  'known-weight.series': locked('Known weights up and down', 45),
  'known-weight.off-centre': locked('Known weight off centre', 20),
  'known-weight.two-directions': locked('Known weight along two rope directions', 40),
  'running.path': { ...running('The web path by eye', 2), caution: 'From outside the guards.' },
  'running.points': running('Two speeds, two tensions', 15),
  'running.lines': running('Lines of the spectrum at two speeds', 8),
  'running.step': running('A step of the tension', 5),
  'running.neighbour': running('Near core and near full', 60),
  'warm.hold': running('Warm running', 120),
  'warm.zero-return': { title: 'Zero after a warm stop', minutes: 15, care: 1, caution: 'Stopped, web slack.' },
}
