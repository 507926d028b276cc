import type { FaultId } from '../../shared/faults.ts'
import { workingPoint } from '../../simulator/faults/working-point.ts'
import type { SimulatedInstall } from './simulated-install.ts'

/** Said in % of span by both; at the simulator that is the cell’s rated capacity, in a diagnosis the zone’s span. */
const OF_SPAN: ReadonlySet<FaultId> = new Set([
  'moisture',
  'cell-temperature-gradient',
  'zero-wrong',
  'binding',
  'clearance-closed',
  'loose-clamp',
  'overloaded-cell',
  'thermal-zero-drift',
  'mains-hum',
  'drive-interference',
  'coarse-resolution',
])
/** The faster of the two speeds that spectral lines are read at, times the line’s own. */
const FASTER = 2
const M_MIN = 60

/**
 * What a size in the words of a diagnosis is times, to be the same physical size as a severity of the simulator: one says
 * shares of the zone’s span and of what is measured, the other of rated capacity and of the programme’s working point.
 */
export function simulatorUnits(cause: FaultId, at: SimulatedInstall, spanN: number): number {
  const { options, machine, context } = at
  const { speed, tension } = workingPoint(options.scenario.programme, context.zone.id)
  if (OF_SPAN.has(cause)) {
    const cells = Object.values(machine.parameters.zones[context.zone.id]?.cells ?? {})
    return spanN / (cells.reduce((sum, { capacity }) => sum + capacity, 0) / cells.length)
  }
  // m r ω² grows with v².
  if (cause === 'roller-unbalance') return ((speed * M_MIN) / (FASTER * options.speedMMin)) ** 2
  // Half of the loss on each side of the mean, of the largest tension, against all of it, of the working one.
  if (cause === 'tight-bearing') return (2 * (context.geometry?.geometry.load.largest ?? tension)) / tension
  return 1
}
