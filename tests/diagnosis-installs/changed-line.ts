import type { Config } from '../../shared/schemas/config.ts'
import { Machine, type MachineParameters } from '../../simulator/physics/machine.ts'
import type { Vec2 } from '../../simulator/physics/vector.ts'
import type { Scenario } from '../../simulator/scenarios/scenario.ts'
import { withRollerTurns } from './roller-turns.ts'

/** How a line is built otherwise than its scenario: machine and config alike, so that nothing of it is a fault. */
export interface LineChange {
  /** A counter at the roller’s end tells its turns. */
  readonly tellsTurns?: boolean
  /** kg/m² of the web. */
  readonly basisWeight?: number
  /** The web of the day is heavier by this share than it is told to be: no fault within what webs are sold as. */
  readonly heavierBy?: number
  /** Warming of the hall, K, and how slowly, s. */
  readonly hall?: { readonly rise: number; readonly riseTime: number }
  /** Centres of the neighbours from the measuring roller’s axis, m; the arrows are aimed at the new bisector. */
  readonly neighbours?: { readonly before: Vec2; readonly after: Vec2 }
}

/** Parameters of the line as it is built. Throws RangeError where its web cannot run. */
export function builtLine({ parameters, programme }: Scenario, change: LineChange): MachineParameters {
  const line = parameters()
  if (change.hall !== undefined) Object.assign(line.ambient, change.hall)
  const turn = arrowTurn({ parameters, programme }, change)
  for (const zone of Object.values(line.zones)) {
    zone.web.basisWeight = (change.basisWeight ?? zone.web.basisWeight) * (1 + (change.heavierBy ?? 0))
    move(zone, change.neighbours)
    for (const cell of Object.values(zone.cells)) cell.arrow += turn
  }
  return line
}

/** The config of a line that is built so. Its zeros are those of the scenario: they are to be taken anew. */
export function builtConfig(config: Config, scenario: Scenario, change: LineChange): Config {
  const made = change.tellsTurns === true ? withRollerTurns(config) : structuredClone(config)
  const [zone] = made.zones
  const geometry = zone?.geometry
  if (geometry === undefined) return made
  if (change.basisWeight !== undefined) geometry.basis_weight_gsm = 1000 * change.basisWeight
  const { neighbours } = change
  if (neighbours === undefined) return made
  const [before, after] = [geometry.rollers.before.at(-1), geometry.rollers.after[0]]
  for (const [roller, at] of [[before, neighbours.before] as const, [after, neighbours.after] as const])
    if (roller !== undefined) Object.assign(roller, { x_mm: 1000 * at.x, y_mm: 1000 * at.y })
  const turnDeg = (arrowTurn(scenario, change) * 180) / Math.PI
  const { arrows_deg: arrows } = geometry
  for (const side of ['drive_side', 'operator_side'] as const) if ('drive_side' in arrows) arrows[side] += turnDeg
  return made
}

/** By how much the way that the web pulls has turned, rad. */
function arrowTurn(scenario: Pick<Scenario, 'parameters' | 'programme'>, { neighbours }: LineChange): number {
  if (neighbours === undefined) return 0
  const [drawn, built] = [undefined, neighbours].map((at) => {
    const line = scenario.parameters()
    const [id = ''] = Object.keys(line.zones)
    for (const zone of Object.values(line.zones)) move(zone, at)
    const { x, y } = new Machine(line, scenario.programme, 1).resultant(id)
    return Math.atan2(y, x)
  })
  return (built ?? 0) - (drawn ?? 0)
}

function move({ path }: MachineParameters['zones'][string], neighbours: LineChange['neighbours']): void {
  if (neighbours === undefined) return
  path.before.centre = neighbours.before
  path.after.centre = neighbours.after
}
