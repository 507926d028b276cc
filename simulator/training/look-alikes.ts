import type { FaultId } from '../../shared/faults.ts'

/** Causes whose picture on a running line is much the same: only a test of its own tells one from another. */
const GROUPS: readonly (readonly FaultId[])[] = [
  ['gain-one-side', 'arrows-differ', 'web-off-centre', 'channel-fault', 'binding'],
  ['arrow-reversed', 'polarity-reversed', 'both-reversed', 'sides-swapped'],
  ['zero-wrong', 'overloaded-cell', 'thermal-zero-drift', 'moisture', 'cell-temperature-gradient'],
  ['span-wrong', 'both-arrows-off', 'other-path', 'momentum-left-out', 'tension-change'],
  ['thermal-zero-drift', 'span-drift', 'clearance-closed', 'moisture', 'cell-temperature-gradient'],
  ['roller-unbalance', 'roller-runout', 'neighbour-roller', 'idler-slipping', 'loose-clamp'],
  ['mains-hum', 'drive-interference'],
  ['open-bridge', 'intermittent-cable', 'stuck-value', 'saturation'],
  ['filters-differ', 'filter-too-heavy'],
  ['tight-bearing', 'binding', 'loose-clamp'],
  ['coarse-resolution', 'stuck-value', 'filter-too-heavy', 'saturation'],
]

export function lookAlike(one: FaultId, other: FaultId): boolean {
  return one === other || GROUPS.some((group) => group.includes(one) && group.includes(other))
}
