import { derivative } from '../uncertainty/derivative.ts'
import type { OperatingState, ZoneGeometry } from './description.ts'
import { type ForceInputs, type Forces, forceInputs, forcesOf, forcesOfWrap } from './forces.ts'
import { entriesOf, mapSides, type Sided, sumOf } from './sided.ts'
import type { Span } from './tangent.ts'
import { radians, unitAt } from './vector.ts'
import { type Wrap, wrapBetween } from './wrap.ts'

/** What a small change of one thing does to the web's force along the arrows. */
export interface Sensitivity {
  readonly name: string
  /** The change it is told for. */
  readonly per: '1°' | '1 mm' | '1 %'
  /** Change of the web's force of each side and of all sides together, %; NaN where that force is 0. */
  readonly sides: Sided<number>
  readonly total: number
}

/** The span turned so that the wrap grows by `by`. */
function widened(wrap: Wrap, which: 'incoming' | 'outgoing', by: number): Wrap {
  const turned = (span: Span, sense: number): Span => {
    const angle = span.angle + sense * wrap.turn * by
    return { ...span, angle, direction: unitAt(angle) }
  }
  return which === 'incoming'
    ? wrapBetween(turned(wrap.incoming, -1), wrap.outgoing, wrap.turn)
    : wrapBetween(wrap.incoming, turned(wrap.outgoing, 1), wrap.turn)
}

const NEIGHBOURS = ['before', 'measuring', 'after'] as const

/**
 * What one degree, one millimetre or one per cent does to the web's force: slopes at the state, by extrapolated central
 * differences (ten digits or so). Throws as `forcesOf` does.
 */
export function sensitivitiesOf(geometry: ZoneGeometry, state: OperatingState): Sensitivity[] {
  const inputs = forceInputs(geometry, state)
  const webForces = (forces: Forces): Sided<number> => mapSides(forces.sides, (side) => side.webForce)
  const atState = forcesOf(inputs)
  const { wrap } = atState
  const now = webForces(atState)
  const row = (name: string, per: Sensitivity['per'], step: number, change: (by: number) => Forces): Sensitivity => {
    // One unit of `per` is `unit` of x; the step is where f is looked at, the result is scaled to the unit.
    const slope = (of: (forces: Sided<number>) => number): number =>
      100 * step * (derivative((by) => of(webForces(change(by))), 0, step / 4) / of(now))
    return {
      name,
      per,
      sides: mapSides(now, (_, side) =>
        slope((forces) => entriesOf(forces).find(([s]) => s === side)?.[1] ?? Number.NaN),
      ),
      total: slope(sumOf),
    }
  }
  const rollers = NEIGHBOURS.flatMap((which) => {
    const roller = inputs[which]
    const moved = (x: number, y: number, r: number): Forces =>
      forcesOf({
        ...inputs,
        [which]: { ...roller, centre: { x: roller.centre.x + x, y: roller.centre.y + y }, radius: roller.radius + r },
      })
    return [
      row(`${roller.name}: centre downstream`, '1 mm', 1e-3, (by) => moved(by, 0, 0)),
      row(`${roller.name}: centre up`, '1 mm', 1e-3, (by) => moved(0, by, 0)),
      row(`${roller.name}: radius`, '1 mm', 1e-3, (by) => moved(0, 0, by)),
    ]
  })
  const changed = (change: Partial<ForceInputs>): Forces => forcesOf({ ...inputs, ...change })
  return [
    ...rollers,
    ...(['incoming', 'outgoing'] as const).map((which) =>
      row(`wrap, by the ${which} span`, '1°', radians(1), (by) => forcesOfWrap(widened(wrap, which, by), inputs)),
    ),
    row(
      'single' in inputs.arrows ? 'arrow, counter-clockwise' : 'both arrows, counter-clockwise',
      '1°',
      radians(1),
      (by) => changed({ arrows: mapSides(inputs.arrows, (arrow) => arrow + by) }),
    ),
    row('tension', '1 %', 0.01, (by) => changed({ tension: inputs.tension * (1 + by) })),
    row('speed', '1 %', 0.01, (by) => changed({ speed: inputs.speed * (1 + by) })),
    row('basis weight', '1 %', 0.01, (by) => changed({ basisWeight: inputs.basisWeight * (1 + by) })),
    ...(inputs.cellDistance === null
      ? []
      : [
          row('line of pull, towards the operator side', '1 mm', 1e-3, (by) =>
            changed({ lineOfPull: inputs.lineOfPull + by }),
          ),
        ]),
  ]
}
