import { HAND_ACCELERATION } from '../physics/manual.ts'
import type { Needs } from '../technician/act.ts'
import { type Condition, refusalIn } from '../technician/condition.ts'
import { ACTS, type ActId } from '../technician/registry.ts'

/** An act with what is said with it. */
export interface SaidAct {
  readonly act: ActId
  readonly args: Readonly<Record<string, unknown>>
}

/** One way act: what it asks for, what it leads to, what it costs, s. */
interface Edge {
  readonly act: ActId
  readonly args?: (speed: number) => Record<string, unknown>
  /** Beyond the act's own needs: where it would lead nowhere. */
  readonly from?: (now: Condition) => boolean
  readonly to: (now: Condition) => Partial<Condition>
  readonly ramp?: true
}

const slackened = ({ web }: Condition) => (web === 'off' ? 'off' : 'slack')
const tightened = ({ web }: Condition) => (web === 'off' ? 'off' : 'tight')

/** What each act that prepares does to the state; a test holds this against the acts themselves. */
const EDGES: readonly Edge[] = [
  { act: 'stop', from: ({ power }) => power === 'running', to: () => ({ power: 'stopped' }), ramp: true },
  {
    act: 'lock-out',
    to: (now) => ({ power: 'locked out', guards: 'open', driveEnabled: false, web: slackened(now) }),
  },
  { act: 'open-guards', to: () => ({ guards: 'open' }) },
  { act: 'close-guards', to: () => ({ guards: 'closed' }) },
  { act: 'unlock', to: () => ({ power: 'stopped', guards: 'closed' }) },
  { act: 'enable-drive', to: (now) => ({ driveEnabled: true, web: tightened(now) }) },
  { act: 'disable-drive', to: (now) => ({ driveEnabled: false, web: slackened(now) }) },
  {
    act: 'start',
    args: (speed) => ({ speed_m_min: speed }),
    from: ({ power }) => power === 'stopped',
    to: () => ({ power: 'running', driveEnabled: true, web: 'tight' }),
    ramp: true,
  },
  { act: 'take-web-off', to: () => ({ web: 'off' }) },
  { act: 'thread-web', to: () => ({ web: 'slack' }) },
  { act: 'lift-roller', to: () => ({ roller: 'lifted off' }) },
  { act: 'set-down-roller', to: () => ({ roller: 'on the cells' }) },
  {
    act: 'let-go',
    from: ({ loads }) => loads.length > 0,
    to: ({ loads }) => ({ loads: loads.filter((load) => load === 'weight') }),
  },
  { act: 'take-weight-off', to: ({ loads }) => ({ loads: loads.filter((load) => load !== 'weight') }) },
]

const keyOf = ({ power, guards, driveEnabled, web, roller, loads }: Condition): string =>
  [power, guards, driveEnabled, web, roller, ...[...loads].sort()].join('|')

/** One way through the states. */
export interface Way {
  readonly steps: readonly (SaidAct & { readonly seconds: number })[]
  readonly seconds: number
  readonly to: Condition
}

/**
 * The way that costs least time from a state to one that allows `needs` (Dijkstra 1959 over the states of one zone).
 * `speed`: at which the line is started, m/min. Null where no way leads there.
 */
export function wayTo(from: Condition, needs: Needs, speed: number): Way | null {
  const open = new Map<string, Way>([[keyOf(from), { steps: [], seconds: 0, to: from }]])
  const closed = new Set<string>()
  for (;;) {
    const next = cheapest(open)
    if (next === null) return null
    if (refusalIn(next.to, needs) === null) return next
    const key = keyOf(next.to)
    open.delete(key)
    closed.add(key)
    for (const further of onward(next, speed)) {
      const known = open.get(keyOf(further.to))
      if (closed.has(keyOf(further.to)) || (known !== undefined && known.seconds <= further.seconds)) continue
      open.set(keyOf(further.to), further)
    }
  }
}

function cheapest(open: ReadonlyMap<string, Way>): Way | null {
  let best: Way | null = null
  for (const way of open.values()) if (best === null || way.seconds < best.seconds) best = way
  return best
}

function onward({ steps, seconds, to }: Way, speed: number): Way[] {
  return EDGES.filter(({ act, from }) => refusalIn(to, ACTS[act].needs) === null && from?.(to) !== false).map(
    (edge) => {
      const cost = ACTS[edge.act].seconds + (edge.ramp === true ? speed / 60 / HAND_ACCELERATION : 0)
      const step = { act: edge.act, args: edge.args?.(speed) ?? {}, seconds: cost }
      return { steps: [...steps, step], seconds: seconds + cost, to: { ...to, ...edge.to(to) } }
    },
  )
}

/** Acts that bring the machine from state to state, for the test of this table. */
export const WAY_ACTS: readonly ActId[] = EDGES.map(({ act }) => act)
/** Where an act of the table leads; null where this state does not allow it, or it would lead nowhere. */
export function leadsTo(act: ActId, now: Condition): Condition | null {
  const edge = EDGES.find((one) => one.act === act)
  if (edge === undefined || refusalIn(now, ACTS[act].needs) !== null || edge.from?.(now) === false) return null
  return { ...now, ...edge.to(now) }
}
