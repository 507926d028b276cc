import type { RandomStream } from '../../simulator/physics/random.ts'
import { findScenario } from '../../simulator/scenarios/registry.ts'
import type { LineChange } from './changed-line.ts'
import type { InstallOptions } from './simulated-install.ts'

/**
 * Lines of the plant with a speed and a tension that each runs at; one of them at two speeds. On some a counter at the
 * roller’s end tells its turns; one runs paper of 150 g/m², whose momentum is an eighth of its tension.
 */
export const LINES = [
  { id: 'install', scenario: 'install', speedMMin: 80, newtons: 180, change: { tellsTurns: true } },
  { id: 'wide-film', scenario: 'wide-film', speedMMin: 100, newtons: 100, change: {} },
  { id: 'fast-paper', scenario: 'fast-paper', speedMMin: 300, newtons: 200, change: {} },
  { id: 'fastest-paper', scenario: 'fast-paper', speedMMin: 500, newtons: 200, change: {} },
  { id: 'counted-film', scenario: 'wide-film', speedMMin: 60, newtons: 80, change: { tellsTurns: true } },
  {
    id: 'heavy-paper',
    scenario: 'fast-paper',
    speedMMin: 300,
    newtons: 200,
    change: { tellsTurns: true, basisWeight: 0.15 },
  },
] as const satisfies readonly (Pick<InstallOptions, 'speedMMin' | 'newtons'> & {
  readonly id: string
  readonly scenario: string
  readonly change: LineChange
})[]
export type LineId = (typeof LINES)[number]['id']

/** Warming of a hall over a shift: K, and how slowly, s (an unheated hall in the morning at one end; common practice). */
const HALL = { rise: [3, 9], riseTime: [3600, 9000] } as const

/** A web is sold as heavy as it is within ± this, as a share (from memory). */
const WEB = 0.05

const between = ([least, most]: readonly [number, number], random: RandomStream): number =>
  least + (most - least) * random.uniform()

/** A sound install of this line: its speed, its tension and its hall as drawn. */
export function soundOptions(
  id: LineId,
  { seed, unrest, zeroTakenSince }: Pick<InstallOptions, 'seed' | 'unrest' | 'zeroTakenSince'>,
  random: RandomStream,
): InstallOptions {
  const line = LINES.find((one) => one.id === id) ?? LINES[0]
  return {
    scenario: findScenario(line.scenario),
    seed,
    faults: [],
    unrest,
    speedMMin: line.speedMMin * between([0.8, 1.2], random),
    newtons: line.newtons * between([0.9, 1.1], random),
    zeroTakenSince,
    change: {
      ...line.change,
      heavierBy: between([-WEB, WEB], random),
      hall: { rise: between(HALL.rise, random), riseTime: between(HALL.riseTime, random) },
    },
  }
}
