import type { FaultId } from '../../shared/faults.ts'
import type { Side } from '../technician/bench.ts'

/**
 * What tells a cause from what looks like it (handbook of the trade: push, weight, swap, two speeds …): a test that has to
 * tell, and tests that must not, because they would speak for another cause. Whether they do on a machine is never
 * taken from here: twins are run for it. `@` stands for the side that the cause sits on.
 */
export interface Proof {
  readonly tells: string
  readonly excludes: readonly string[]
}

const by = (tells: string, ...excludes: string[]): Proof => ({ tells, excludes })

const PROOFS: Readonly<Record<FaultId, readonly Proof[]>> = {
  'arrow-reversed': [by('arrows')],
  'polarity-reversed': [by('wiring-@'), by('push', 'arrows')],
  'both-reversed': [by('wiring-@'), by('arrows'), by('push', 'arrows')],
  'both-arrows-off': [by('arrows'), by('two-ropes')],
  'arrows-differ': [by('arrows'), by('two-ropes')],
  'gain-one-side': [by('cross-swap', 'arrows', 'bridge-simulator-@', 'free-play-@')],
  'momentum-left-out': [by('two-speeds', 'runout')],
  'tight-bearing': [by('spin')],
  moisture: [by('insulation-@'), by('fit-@')],
  'cell-temperature-gradient': [by('warm-up-zero', 'insulation-@')],
  'channel-fault': [by('bridge-simulator-@', 'settings-@'), by('cross-swap', 'arrows', 'settings-@', 'free-play-@')],
  'filters-differ': [by('settings-@'), by('tension-step')],
  'web-off-centre': [by('web-position'), by('watch', 'known-weight')],
  'sides-swapped': [by('wiring-@'), by('push'), by('off-centre')],
  'zero-wrong': [by('settings-@'), by('bridge-simulator-@', 'bridge-@')],
  'span-wrong': [by('settings-@'), by('known-weight', 'arrows')],
  'other-path': [by('path')],
  binding: [by('free-play-@'), by('up-and-down', 'fit-@')],
  'clearance-closed': [by('clearance-@'), by('warm-up-running', 'warm-up-zero')],
  'loose-clamp': [by('fit-@'), by('up-and-down', 'free-play-@')],
  'overloaded-cell': [by('bare-zero', 'arrows', 'settings-@', 'insulation-@', 'free-play-@')],
  'thermal-zero-drift': [by('warm-up-zero', 'insulation-@')],
  'span-drift': [by('warm-up-running', 'clearance-@', 'insulation-@')],
  'open-bridge': [by('bridge-@')],
  'intermittent-cable': [by('wiggle-@', 'bridge-@'), by('fit-@')],
  'mains-hum': [by('stopped-against-running', 'settings-@')],
  'drive-interference': [by('drives-without-web', 'bare-zero')],
  'roller-unbalance': [by('two-speeds', 'runout')],
  'roller-runout': [by('runout')],
  'neighbour-roller': [by('watch', 'runout', 'bare-zero')],
  saturation: [by('settings-@'), by('bridge-simulator-@')],
  'coarse-resolution': [by('watch', 'counters'), by('bridge-simulator-@', 'counters')],
  'filter-too-heavy': [by('settings-@'), by('tension-step')],
  'stuck-value': [by('counters')],
  'idler-slipping': [by('watch', 'runout', 'bare-zero')],
  'tension-change': [by('running-against-weight', 'known-weight', 'path')],
}

/** Proofs of a cause on its side; one that sits on none shows on either. */
export function proofsOf(cause: FaultId, side: Side | null): readonly Proof[] {
  const name = side === 'operator_side' ? 'operator' : 'drive'
  const on = (test: string) => test.replace('@', name)
  return PROOFS[cause].map(({ tells, excludes }) => ({ tells: on(tells), excludes: excludes.map(on) }))
}
