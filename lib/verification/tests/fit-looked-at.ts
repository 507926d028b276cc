import { yesNoTest } from '../yes-no-test.ts'

/** What is looked at and answered at the locked-out machine: one table, since all of it is the same kind of test. */
export const fitFreePlay = yesNoTest({
  id: 'fit.free-play',
  stage: 'fit',
  title: 'Free play of both cells',
  proves: 'Each cell can move the little it must: nothing holds it but the load.',
  effect: 'A cell without play binds: hysteresis, no return to zero, low slope on that side.',
  caution: null,
  steps: ['Rock the bearing of each end by hand along and across the arrow.'],
  questions: [{ id: 'free-play', asks: 'Free play is felt', perSide: true }],
  hints: ['Loosen the clamp, let the cell find its place with the roller’s weight held, and clamp anew crosswise.'],
})

export const fitBushing = yesNoTest({
  id: 'fit.bushing',
  stage: 'fit',
  title: 'Bushings',
  proves: 'The bushing sits flush and its split lies in line with the clamp, so that it grips all round.',
  effect: 'A bushing askew twists the cell and takes its free play.',
  caution: null,
  steps: ['Look at each bushing from the end. Where none is fitted, answer yes.'],
  questions: [
    { id: 'bushing-flush', asks: 'Flush with the cell', perSide: true },
    { id: 'bushing-split', asks: 'Split in line with the clamp', perSide: true },
  ],
  hints: ['Take it out, clean both faces, and set it flush with its split in line.'],
  notFor: ({ zone }) => (zone.geometry?.mount === 'pillow block' ? 'a pillow block has no bushing in the cell' : null),
})

export const fitClamps = yesNoTest({
  id: 'fit.clamps',
  stage: 'fit',
  title: 'Clamps',
  proves: 'The clamps were tightened evenly while the roller’s weight was held.',
  effect: 'Clamped under load or on one side first, the cell is twisted before the web ever pulls.',
  caution: 'Hold the roller by a sling or a support while the clamps are loose: it can fall.',
  steps: ['Hold the roller’s weight.', 'Tighten crosswise, in steps, to the maker’s torque.'],
  questions: [
    { id: 'clamps-crosswise', asks: 'Tightened crosswise, in steps', perSide: true },
    { id: 'weight-held', asks: 'Roller’s weight held meanwhile', perSide: false },
  ],
  hints: ['Loosen with the weight held, and tighten anew.'],
})

export const fitBolts = yesNoTest({
  id: 'fit.bolts',
  stage: 'fit',
  title: 'Mounting bolts',
  proves: 'The cell cannot move on its frame.',
  effect: 'A loose bolt makes steps, poor repeatability, and a rattle once a turn.',
  caution: null,
  steps: ['Check each bolt with the torque wrench, to the maker’s torque.'],
  questions: [{ id: 'bolts-tight', asks: 'All at torque', perSide: true }],
  hints: ['Tighten, and repeat every test made since.'],
})

export const fitNothingTouches = yesNoTest({
  id: 'fit.nothing-touches',
  stage: 'fit',
  title: 'Nothing else touches roller or shaft',
  proves: 'All of the web’s force goes through the cells.',
  effect: 'A guard, a hose, a scraper or a cable that touches carries part of it, and drags.',
  caution: null,
  steps: ['Look round both ends and along the shell; turn the roller by hand.'],
  questions: [{ id: 'nothing-touches', asks: 'Nothing touches', perSide: false }],
  hints: ['Free what touches; look again when the machine is warm.'],
})

export const fitCables = yesNoTest({
  id: 'fit.cables',
  stage: 'fit',
  title: 'Cables seated',
  proves: 'Each plug is home, the cable is held near the cell, and it hangs free of moving parts.',
  effect: 'A plug half in, or a cable that pulls at the cell, makes spikes, noise and a false zero.',
  caution: null,
  steps: ['Seat each plug until it locks; tie the cable so that it does not pull at the cell.'],
  questions: [{ id: 'cables-seated', asks: 'Seated and held', perSide: true }],
  hints: ['Seat it, and make the wiggle test.'],
})
