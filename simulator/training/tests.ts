import type { Reading } from '../technician/act.ts'
import { SIDE_WORDS } from '../technician/arguments.ts'
import type { Side } from '../technician/bench.ts'
import type { ActId } from '../technician/registry.ts'
import { SIDES } from './place.ts'
import type { LookStep, Seen, SidedTest, TrainingTest } from './training-test.ts'
import type { SaidAct } from './way.ts'

const act = (id: ActId, args: Record<string, unknown> = {}): SaidAct => ({ act: id, args })

const RUNNING = { power: ['running'], free: true } as const
const STANDING_TIGHT = { power: ['stopped'], driveEnabled: true, web: ['tight'], free: true } as const
const BARE = { power: ['locked out'], web: ['off'], roller: 'on the cells', free: true } as const
const CABINET = { power: ['stopped', 'locked out'] } as const
/** In the state that the acts have brought about. */
const AS_IT_IS = {} as const

const look = (words: string, needs: LookStep['needs'], settle: number, seconds: number): LookStep => ({
  look: words,
  needs,
  settle,
  seconds,
})
const ofSide = (step: LookStep, side: Side): LookStep => ({ ...step, side })
const lines = (step: LookStep): LookStep => ({ ...step, withLines: true })

/** Long enough for the web to come to rest after a change, s. */
const WEB_SETTLES = 12
const HAND_SETTLES = 2
/** So little less weight tells which way the rope moved, kg. */
const LESS = 0.01

const running = (seconds = 4) => look('running', RUNNING, WEB_SETTLES, seconds)

function reading(figure: string, unit: string | null, value: number, u: number, side?: Side): Reading {
  return { figure, ...(side === undefined ? {} : { side }), value, unit, u }
}

/** a − b by side, mV/V. */
function change(seen: Seen, figure: string, a: string, b: string): Reading[] {
  return SIDES.flatMap((side) => {
    const [to, from] = [seen.signal(a, side), seen.signal(b, side)]
    if (to === null || from === null) return []
    return [reading(figure, 'mV/V', to - from, Math.hypot(seen.u(a, side), seen.u(b, side)) / 2, side)]
  })
}

export const TESTS: readonly TrainingTest[] = [
  { id: 'watch', title: 'Watch both sides while the line runs', steps: () => [lines(running(10))] },
  { id: 'counters', title: 'Look at the amplifier’s counters', steps: () => [act('look-at-counters')] },
  { id: 'path', title: 'Look at the web’s path against the drawing', steps: () => [act('look-at-path')] },
  {
    id: 'web-position',
    title: 'Measure where the web runs across the roller',
    steps: () => [act('measure-web-position')],
  },
  {
    id: 'push',
    title: 'Push each end the way the web pulls',
    steps: () => [
      look('bare hands off', { ...BARE, web: ['off', 'slack'] }, HAND_SETTLES, 3),
      act('push-end', { side: 'drive_side', newtons: 100 }),
      look('drive side pushed', AS_IT_IS, HAND_SETTLES, 3),
      act('let-go'),
      act('push-end', { side: 'operator_side', newtons: 100 }),
      look('operator side pushed', AS_IT_IS, HAND_SETTLES, 3),
      act('let-go'),
    ],
    derived: (seen) => [
      ...change(seen, 'change, drive side pushed', 'drive side pushed', 'bare hands off'),
      ...change(seen, 'change, operator side pushed', 'operator side pushed', 'bare hands off'),
    ],
  },
  {
    id: 'arrows',
    title: 'Measure both arrows with the inclinometer',
    steps: () => SIDES.map((side) => act('measure-arrow', { side })),
  },
  {
    id: 'bare-zero',
    title: 'Look at the zeros with the bare roller',
    steps: () => [look('bare roller', BARE, HAND_SETTLES, 6)],
  },
  {
    id: 'known-weight',
    title: 'Hang a known weight at mid-span along the web’s path',
    steps: ({ weight }) => [
      look('bare roller', BARE, HAND_SETTLES, 4),
      act('hang-weight', { kg: weight }),
      look('weight on', AS_IT_IS, HAND_SETTLES, 4),
      act('take-weight-off'),
    ],
    derived: (seen) => change(seen, 'change by the weight', 'weight on', 'bare roller'),
  },
  {
    id: 'off-centre',
    title: 'Hang a known weight off centre',
    steps: ({ weight, span }) => [
      look('bare roller', BARE, HAND_SETTLES, 4),
      act('hang-weight', { kg: weight, at_mm: Math.round(span / 5) }),
      look('weight towards the operator side', AS_IT_IS, HAND_SETTLES, 4),
      act('take-weight-off'),
    ],
    derived: (seen) => change(seen, 'change by the weight', 'weight towards the operator side', 'bare roller'),
  },
  {
    id: 'two-ropes',
    title: 'Hang the weight in two rope directions',
    steps: ({ weight }) => [
      act('hang-weight', { kg: weight, path: { arriving_deg: 90, leaving_deg: -90 } }),
      look('rope straight down', { ...BARE, free: false }, HAND_SETTLES, 4),
      act('take-weight-off'),
      act('hang-weight', { kg: weight, path: { arriving_deg: 0, leaving_deg: -90 } }),
      look('rope from the side', AS_IT_IS, HAND_SETTLES, 4),
      act('take-weight-off'),
    ],
    derived: (seen) => change(seen, 'change from one rope to the other', 'rope from the side', 'rope straight down'),
  },
  {
    id: 'up-and-down',
    title: 'Known weights up and down',
    steps: ({ weight }) => [
      look('bare roller before', BARE, HAND_SETTLES, 3),
      act('hang-weight', { kg: weight }),
      look('one weight, going up', AS_IT_IS, HAND_SETTLES, 3),
      act('hang-weight', { kg: 2 * weight }),
      look('two weights', AS_IT_IS, HAND_SETTLES, 3),
      act('hang-weight', { kg: weight + LESS }),
      look('one weight, coming down', AS_IT_IS, HAND_SETTLES, 3),
      act('take-weight-off'),
      look('bare roller after', AS_IT_IS, HAND_SETTLES, 3),
    ],
    derived: (seen) => [
      ...change(seen, 'down less up', 'one weight, coming down', 'one weight, going up'),
      ...change(seen, 'return to zero', 'bare roller after', 'bare roller before'),
    ],
  },
  {
    id: 'running-against-weight',
    title: 'Hold the running signal against the known weight’s',
    steps: ({ weight }) => [
      running(),
      look('bare roller', BARE, HAND_SETTLES, 4),
      act('hang-weight', { kg: weight }),
      look('weight on', AS_IT_IS, HAND_SETTLES, 4),
      act('take-weight-off'),
    ],
    derived: (seen) => ratioOfSums(seen),
  },
  {
    id: 'cross-swap',
    title: 'Swap the two cells at the amplifier under a known weight',
    steps: ({ weight }) => [
      look('bare roller', BARE, HAND_SETTLES, 3),
      act('swap-cables'),
      look('bare roller, swapped', AS_IT_IS, HAND_SETTLES, 3),
      act('hang-weight', { kg: weight }),
      look('weight on, swapped', AS_IT_IS, HAND_SETTLES, 3),
      act('swap-cables'),
      look('weight on', AS_IT_IS, HAND_SETTLES, 3),
      act('take-weight-off'),
    ],
    derived: crossSwap,
  },
  {
    id: 'two-speeds',
    title: 'Run the same tension at two speeds',
    steps: ({ speed }) => [
      act('start', { speed_m_min: Math.round(speed * 0.4) }),
      lines(look('slow', RUNNING, WEB_SETTLES, 10)),
      act('start', { speed_m_min: speed }),
      lines(look('fast', RUNNING, WEB_SETTLES, 10)),
    ],
    derived: (seen) => change(seen, 'fast less slow', 'fast', 'slow'),
  },
  {
    id: 'two-tensions',
    title: 'Run at two tensions',
    steps: ({ tension }) => [
      act('set-tension', { newtons: Math.round(tension * 0.5) }),
      look('half tension', RUNNING, WEB_SETTLES, 4),
      act('set-tension', { newtons: tension }),
      look('full tension', RUNNING, WEB_SETTLES, 4),
    ],
    derived: (seen) => change(seen, 'full less half', 'full tension', 'half tension'),
  },
  {
    id: 'tension-step',
    title: 'Step the tension and watch both sides follow',
    steps: ({ tension }) => [
      act('set-tension', { newtons: Math.round(tension * 0.5) }),
      look('before the step', RUNNING, 3 * WEB_SETTLES, 3),
      act('set-tension', { newtons: tension }),
      look('just after the step', AS_IT_IS, 0, 2),
      look('settled after it', AS_IT_IS, 3 * WEB_SETTLES, 3),
    ],
    derived: (seen) => change(seen, 'still to come', 'settled after it', 'just after the step'),
  },
  {
    id: 'stopped-against-running',
    title: 'Compare the spectrum stopped and running',
    steps: () => [lines(running(10)), lines(look('stopped under tension', STANDING_TIGHT, WEB_SETTLES, 10))],
  },
  {
    id: 'drives-without-web',
    title: 'Enable the drives without web',
    steps: () => [
      look('drives off, no web', BARE, HAND_SETTLES, 6),
      look(
        'drives enabled, no web',
        { power: ['stopped'], driveEnabled: true, web: ['off'], free: true },
        HAND_SETTLES,
        6,
      ),
    ],
  },
  {
    id: 'warm-up-zero',
    title: 'Look at the bare zeros, wait two hours, look again',
    steps: () => [
      look('bare roller', BARE, HAND_SETTLES, 6),
      act('wait', { seconds: 7200 }),
      look('bare roller, two hours later', AS_IT_IS, HAND_SETTLES, 6),
    ],
    derived: (seen) => change(seen, 'moved in two hours', 'bare roller, two hours later', 'bare roller'),
  },
  {
    id: 'warm-up-running',
    title: 'Run for two hours at one speed and tension',
    steps: ({ speed, tension }) => [
      act('set-tension', { newtons: tension }),
      act('start', { speed_m_min: speed }),
      look('at the start', RUNNING, WEB_SETTLES, 6),
      act('wait', { seconds: 7200 }),
      look('two hours later', RUNNING, 0, 6),
    ],
    derived: (seen) => change(seen, 'moved in two hours', 'two hours later', 'at the start'),
  },
  { id: 'spin', title: 'Spin the roller by hand and time it', steps: () => [act('spin-down')] },
  { id: 'runout', title: 'Measure the roller’s runout by dial', steps: () => [act('measure-runout')] },
]

/** Mean of a run against mean of a weight; what the cells make of either cancels. */
function ratioOfSums(seen: Seen): Reading[] {
  const sum = (name: string) => {
    const [ds, os] = SIDES.map((side) => seen.signal(name, side))
    return ds === null || os === null || ds === undefined || os === undefined ? null : ds + os
  }
  const [run, on, bare] = [sum('running'), sum('weight on'), sum('bare roller')]
  if (run === null || on === null || bare === null || on === bare) return []
  const u = 0.01 * Math.abs((run - bare) / (on - bare))
  return [reading('running over weight', null, (run - bare) / (on - bare), u)]
}

/** Difference of both sides that goes with the cell, and that stays with the channel, % of the mean. */
function crossSwap(seen: Seen): Reading[] {
  const by = (look: string, bare: string, side: Side) => {
    const [on, off] = [seen.signal(look, side), seen.signal(bare, side)]
    return on === null || off === null ? null : on - off
  }
  const ds = by('weight on', 'bare roller', 'drive_side')
  const os = by('weight on', 'bare roller', 'operator_side')
  const dsSwapped = by('weight on, swapped', 'bare roller, swapped', 'drive_side')
  const osSwapped = by('weight on, swapped', 'bare roller, swapped', 'operator_side')
  if (ds === null || os === null || dsSwapped === null || osSwapped === null) return []
  const difference = (a: number, b: number) => (a + b === 0 ? 0 : (200 * (b - a)) / (a + b))
  const straight = difference(ds, os)
  const swapped = difference(dsSwapped, osSwapped)
  return [
    reading('difference that goes with the cell', '%', (straight - swapped) / 2, 0.3),
    reading('difference that stays with the channel', '%', (straight + swapped) / 2, 0.3),
  ]
}

/** Tests of one side; one of each for every side. */
const SIDED: readonly SidedTest[] = [
  { id: 'wiring', title: 'Trace the cable core by core', steps: (_, side) => [act('look-at-wiring', { side })] },
  { id: 'insulation', title: 'Measure the insulation', steps: (_, side) => [act('measure-insulation', { side })] },
  { id: 'bridge', title: 'Measure the bridge’s resistance', steps: (_, side) => [act('measure-bridge', { side })] },
  {
    id: 'excitation',
    title: 'Measure the excitation at the cell',
    steps: (_, side) => [act('measure-excitation', { side })],
  },
  { id: 'settings', title: 'Read the channel’s settings', steps: (_, side) => [act('read-knobs', { side })] },
  { id: 'free-play', title: 'Feel for free play', steps: (_, side) => [act('check-free-play', { side })] },
  { id: 'fit', title: 'Look over the end', steps: (_, side) => [act('look-at-fit', { side })] },
  { id: 'clearance', title: 'Measure the end clearance', steps: (_, side) => [act('measure-clearance', { side })] },
  {
    id: 'bridge-simulator',
    title: 'Put a bridge simulator in the cell’s place',
    steps: (_, side) => [
      act('connect-simulator', { side, mv_v: 0 }),
      ofSide(look('simulator at 0 mV/V', CABINET, HAND_SETTLES, 3), side),
      act('connect-simulator', { side, mv_v: 1 }),
      ofSide(look('simulator at 1 mV/V', AS_IT_IS, HAND_SETTLES, 3), side),
      act('disconnect-instruments'),
    ],
    derived: (seen, side) =>
      change(seen, 'change from 0 to 1 mV/V', 'simulator at 1 mV/V', 'simulator at 0 mV/V').filter(
        (one) => one.side === side,
      ),
  },
  {
    id: 'wiggle',
    title: 'Wiggle the cable',
    steps: (_, side) => [
      act('wiggle-cable', { side }),
      ofSide(look('cable moved', AS_IT_IS, HAND_SETTLES, 10), side),
      act('let-go'),
    ],
  },
]

export const ALL_TESTS: readonly TrainingTest[] = [
  ...TESTS,
  ...SIDED.flatMap((test) =>
    SIDES.map((side): TrainingTest => {
      const { derived } = test
      return {
        id: `${test.id}-${side === 'drive_side' ? 'drive' : 'operator'}`,
        title: `${test.title}, ${SIDE_WORDS[side]}`,
        steps: (place) => test.steps(place, side),
        ...(derived === undefined ? {} : { derived: (seen) => derived(seen, side) }),
      }
    }),
  ),
]

const BY_ID = new Map(ALL_TESTS.map((test) => [test.id, test]))

/** Throws RangeError for a name that no test has. */
export function testOf(id: string): TrainingTest {
  const found = BY_ID.get(id)
  if (found !== undefined) return found
  throw new RangeError(`there is no test ${id}`)
}
