import { diagnosisContextOf } from '../../lib/diagnosis/context.ts'
import type { FaultId } from '../../shared/faults.ts'
import { workingSignal } from '../../simulator/faults/places.ts'
import { workingPoint } from '../../simulator/faults/working-point.ts'
import { type InstallOptions, SimulatedInstall } from './simulated-install.ts'

/** A size of the simulator, and the install that it is of. */
export interface Simulated {
  readonly size: number
  readonly options: InstallOptions
}

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
/** The larger tension that points are taken at, times the line’s own. */
const TIGHTER = 1.3
const M_MIN = 60

/**
 * The same physical size in the simulator’s own words as `size` is in those of a diagnosis: one says shares of rated
 * capacity and of the programme’s working point, the other of the zone’s span and of what is measured. Null where the
 * simulator cannot make it.
 */
export function simulated(cause: FaultId, size: number, options: InstallOptions): Simulated | null {
  if (cause === 'saturation') return saturated(size, options)
  const { machine, context } = new SimulatedInstall({ ...options, zeroTakenSince: false })
  const zone = machine.parameters.zones[context.zone.id]
  const { speed, tension } = workingPoint(options.scenario.programme, context.zone.id)
  const times = (factor: number): Simulated => ({ size: size * factor, options })
  if (OF_SPAN.has(cause)) {
    const cells = Object.values(zone?.cells ?? {})
    const capacity = cells.reduce((sum, one) => sum + one.capacity, 0) / cells.length
    return times((diagnosisContextOf(context).spanN ?? Number.NaN) / capacity)
  }
  // m r ω² grows with v².
  if (cause === 'roller-unbalance') return times(((speed * M_MIN) / (FASTER * options.speedMMin)) ** 2)
  // Half of the loss on each side of the mean, of the largest tension, against all of it, of the working one.
  if (cause === 'tight-bearing') return times((2 * (context.geometry?.geometry.load.largest ?? tension)) / tension)
  if (cause === 'idler-slipping') return { size, options: workingFaster(options, context.zone.id) }
  return times(1)
}

/** How far it slips is told for the programme’s working point, and slower it hardly does: that is the faster speed of this install. */
function workingFaster(options: InstallOptions, zone: string): InstallOptions {
  const { scenario, speedMMin, newtons } = options
  const startSpeed = (FASTER * speedMMin) / M_MIN
  const programme = { startSpeed, setTension: { [zone]: newtons }, stages: [], repeat: false }
  return { ...options, scenario: { ...scenario, programme } }
}

const READINGS = 400
const READ_EVERY_S = 0.023

/**
 * A range that ends where this share of the readings of the two larger points lies above it, of the sides together; the
 * simulator says the end as 1.1 less size/500 times the working signal. Line and tension are chosen so that it is there.
 */
function saturated(percent: number, options: InstallOptions): Simulated | null {
  const at = new SimulatedInstall({ ...options, faults: [] })
  const id = at.context.zone.id
  const { speed, tension } = workingPoint(options.scenario.programme, id)
  const newtons = tension / TIGHTER
  const zone = at.machine.parameters.zones[id]
  if (zone === undefined) return null
  const place = { zone, side: null, mainsHz: 50, speed, tension, pull: at.machine.resultant(id), wrap: 0 }
  const signals = {
    drive_side: workingSignal(place, 'drive_side'),
    operator_side: workingSignal(place, 'operator_side'),
  }
  const readings: number[] = []
  for (const times of [1, TIGHTER])
    for (const faster of [1, FASTER]) {
      at.running(faster * options.speedMMin, times * newtons)
      for (let i = 0; i < READINGS; i += 1) {
        at.machine.step(READ_EVERY_S)
        const cells = at.machine.state.zones[id]?.cells
        for (const side of ['drive_side', 'operator_side'] as const)
          readings.push(Math.abs((cells?.[side].output ?? Number.NaN) / signals[side]))
      }
    }
  readings.sort((a, b) => b - a)
  const end = readings[Math.floor((percent / 100) * readings.length)] ?? Number.NaN
  const size = 500 * (1.1 - end)
  return size >= 0 && size <= 100 ? { size, options: { ...options, newtons } } : null
}
