import type { TrainingAct } from '../../../shared/schemas/training.ts'

/** What one does: the order in which somebody at a machine thinks of it. */
export const DOINGS = ['safe', 'look', 'measure', 'web', 'loads', 'mend', 'run'] as const
export type Doing = (typeof DOINGS)[number]

export const DOING_TITLES: Record<Doing, string> = {
  safe: 'Make safe',
  look: 'Look and feel',
  measure: 'Measure',
  web: 'Web and roller',
  loads: 'Push and hang',
  mend: 'Turn and mend',
  run: 'Run',
}

const ACTS_OF: Record<Doing, readonly string[]> = {
  safe: ['stop', 'lock-out', 'open-guards', 'disable-drive'],
  look: [
    'look-at-path',
    'look-at-fit',
    'look-at-wiring',
    'look-at-counters',
    'read-knobs',
    'check-free-play',
    'wiggle-cable',
  ],
  measure: [
    'measure-arrow',
    'measure-clearance',
    'measure-level',
    'measure-runout',
    'measure-web-position',
    'spin-down',
    'measure-bridge',
    'measure-insulation',
    'measure-excitation',
    'connect-simulator',
    'connect-shunt',
    'disconnect-instruments',
  ],
  web: ['take-web-off', 'thread-web', 'lift-roller', 'set-down-roller'],
  loads: ['push-end', 'let-go', 'hang-weight', 'take-weight-off'],
  mend: [
    'turn-arrow',
    'set-clearance',
    'free-cell',
    'tighten-clamps',
    'mend-end',
    'level-roller',
    'clean-bearing',
    'balance-roller',
    'move-web-guide',
    'rethread-as-drawn',
    'swap-cables',
    'swap-leads',
    'dry-connector',
    'turn-knob',
    'replace-cell',
    'replace-cable',
    'replace-channel',
  ],
  run: ['close-guards', 'unlock', 'enable-drive', 'start', 'set-tension', 'wait'],
}

const DOING_OF = new Map(DOINGS.flatMap((doing) => ACTS_OF[doing].map((act) => [act, doing] as const)))

/** Where an act that this page does not know yet stands, by the desk's own group. */
const FALLBACK: Record<TrainingAct['group'], Doing> = {
  controls: 'run',
  web: 'web',
  loads: 'loads',
  fit: 'mend',
  cables: 'mend',
}

export const isPlaced = (act: string): boolean => DOING_OF.has(act)

export function doingOf({ id, group }: Pick<TrainingAct, 'id' | 'group'>): Doing {
  return DOING_OF.get(id) ?? FALLBACK[group]
}

/** Acts by what one does, each group in its own order; those not known yet come last in theirs. */
export function actsByDoing(acts: readonly TrainingAct[]): ReadonlyMap<Doing, readonly TrainingAct[]> {
  const place = ({ id }: TrainingAct, doing: Doing) => {
    const i = ACTS_OF[doing].indexOf(id)
    return i < 0 ? Number.POSITIVE_INFINITY : i
  }
  const order = (a: number, b: number) => (a === b ? 0 : a < b ? -1 : 1)
  return new Map(
    DOINGS.map((doing) => [
      doing,
      acts.filter((act) => doingOf(act) === doing).sort((a, b) => order(place(a, doing), place(b, doing))),
    ]),
  )
}
