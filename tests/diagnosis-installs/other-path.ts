import type { RandomStream } from '../../simulator/physics/random.ts'
import { type Vec2, vec } from '../../simulator/physics/vector.ts'
import { type InstallOptions, SimulatedInstall } from './simulated-install.ts'

export interface OtherPath {
  /** Round the other side of the neighbour after, of the one before, or of both. */
  readonly kind: number
  readonly options: InstallOptions
  /** By how much the force is another one, over what is found from on. */
  readonly times: number
}

/** A neighbour stands up to so much of its distance elsewhere than drawn, along and across. */
const ELSEWHERE = 0.5
/** Layouts that are drawn for one install. */
const LAYOUTS = 25

/**
 * A line of this kind with its neighbours elsewhere, and its web on another path that is told from so many thresholds of
 * that very layout on, as well measured as on the drawn one; null where none of the layouts drawn has one.
 */
export function otherPath(
  sound: InstallOptions,
  [least, most]: readonly [number, number],
  random: RandomStream,
  thresholdAt: (at: SimulatedInstall) => number | null,
): OtherPath | null {
  for (let i = 0; i < LAYOUTS; i += 1) {
    const change = { ...sound.change, neighbours: neighboursOf(sound, random) }
    const kind = 1 + Math.floor(3 * random.uniform())
    const drawn = { ...sound, change }
    const options = { ...drawn, faults: [faultOf(kind)] }
    if (!isPossible(drawn) || !isPossible(options)) continue
    const threshold = thresholdAt(new SimulatedInstall({ ...drawn, zeroTakenSince: false }))
    const times = pathPercent(drawn, options) / (threshold ?? Number.NaN)
    if (times >= least && times <= most) return { kind, options, times }
  }
  return null
}

const faultOf = (severity: number): InstallOptions['faults'][number] => ({
  fault: 'other-path',
  zone: '',
  side: null,
  severity,
  onset: { kind: 'constant' },
})

function neighboursOf({ scenario }: InstallOptions, random: RandomStream): { before: Vec2; after: Vec2 } {
  const [zone] = Object.values(scenario.parameters().zones)
  const moved = ({ x, y }: Vec2): Vec2 => {
    const [along, across] = [1 + ELSEWHERE * (2 * random.uniform() - 1), ELSEWHERE * (2 * random.uniform() - 1)]
    return vec(along * x - across * y, along * y + across * x)
  }
  if (zone === undefined) throw new Error('a line has a zone')
  return { before: moved(zone.path.before.centre), after: moved(zone.path.after.centre) }
}

/** A web that cannot run that way cannot be tried. */
export function isPossible(options: InstallOptions): boolean {
  try {
    new SimulatedInstall({ ...options, zeroTakenSince: false })
    return true
  } catch (error) {
    if (error instanceof RangeError) return false
    throw error
  }
}

/** By how much the force of the web along the arrows is another one on the path that it runs, %. */
function pathPercent(drawn: InstallOptions, options: InstallOptions): number {
  const [was, is] = [drawn, options].map((one) => {
    const { machine, context } = new SimulatedInstall({ ...one, zeroTakenSince: false })
    const { x, y } = machine.resultant(context.zone.id)
    const { drive_side: side } = (machine.parameters.zones[context.zone.id] as { cells: BothCells }).cells
    return x * Math.cos(side.arrow) + y * Math.sin(side.arrow)
  })
  return Math.abs(100 * ((is ?? Number.NaN) / (was ?? Number.NaN) - 1))
}

type BothCells = { readonly drive_side: { readonly arrow: number } }
