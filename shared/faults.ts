/**
 * What can be wrong with a pair of load cells and the machine around them: the words in which diagnosis (a cause),
 * simulator (a fault) and training (an answer) mean the same thing. An id is kept in records and never reused.
 */
export const FAULT_IDS = [
  'arrow-reversed', // one load arrow points the other way
  'polarity-reversed', // one cell is wired the other way round
  'both-reversed', // both of them, by arrow or by wire
  'both-arrows-off', // both arrows stand off the bisector by the same angle
  'arrows-differ', // one arrow stands off, the other is right
  'gain-one-side', // rated output, cells of two capacities, loss in a lead
  'momentum-left-out', // m v² not taken off, or a wrong basis weight
  'tight-bearing', // tight bearing, dragging seal or hose
  'moisture', // low insulation: a zero that wanders
  'cell-temperature-gradient', // one cell unevenly warm: a transient of its zero
  'channel-fault', // an amplifier channel: stays with the channel when the cells are swapped
  'filters-differ', // one side lags
  'web-off-centre', // web or its pull off centre, a baggy edge
  'sides-swapped', // each channel shows the other end
  'zero-wrong', // zero not taken, or taken with the web on
  'span-wrong', // both sides read the same wrong share
  'other-path', // the web runs another path than the drawing says
  'binding', // no free play, shaft clamped askew
  'clearance-closed', // the shaft has grown into its end clearance
  'loose-clamp', // loose clamp or bolt
  'overloaded-cell', // a zero that stepped for good
  'thermal-zero-drift', // zero follows temperature
  'span-drift', // gain moves with time
  'open-bridge', // open bridge, cut wire
  'intermittent-cable', // breaks for moments, more when moved
  'mains-hum',
  'drive-interference',
  'roller-unbalance',
  'roller-runout',
  'neighbour-roller', // the neighbour's turn shows in the web
  'saturation', // the range is too small
  'coarse-resolution', // too few steps for the force there is
  'filter-too-heavy',
  'stuck-value', // the same number for ever
  'idler-slipping', // the web slides over the measuring roller
  'tension-change', // nothing is wrong with the cells: the web pulls otherwise than told
] as const
export type FaultId = (typeof FAULT_IDS)[number]

/** Faults of one end: told apart by the side they sit on. The others concern both ends or the machine. */
export const ONE_SIDED_FAULTS: ReadonlySet<FaultId> = new Set([
  'arrow-reversed',
  'polarity-reversed',
  'arrows-differ',
  'gain-one-side',
  'moisture',
  'cell-temperature-gradient',
  'channel-fault',
  'filters-differ',
  'binding',
  'clearance-closed',
  'loose-clamp',
  'overloaded-cell',
  'thermal-zero-drift',
  'span-drift',
  'open-bridge',
  'intermittent-cable',
  'stuck-value',
])
