import type { ContactArc } from './layout.ts'
import { type Vec2, vec } from './vector.ts'

/**
 * The web on the roller, element by element.
 *
 * A web element of angle dθ presses on the roller with (T − m v²) dθ along the inward normal, and
 * drags it along with dT (the shear that changes the tension from one end of the element to the
 * other). The tension is that of the entering span until the slip arc, which lies at the exit and
 * in which friction is spent: dT/dθ = ±μ (T − m v²). (Belt friction with slip arc: Beer &
 * Johnston, Statics, ch. 8.10; creep theory of belts, Firbank 1970; from memory.)
 *
 * Everything is summed numerically over the contact: no closed formula of the resultant is used,
 * so that this model and a product that uses one cannot share one mistake.
 */
export interface WrapTable {
  readonly arc: ContactArc
  readonly elements: number
  /** Outward normal and direction of travel at two Gauss points an element: nx, ny, ux, uy. */
  readonly nodes: Float64Array
}

/** The load of one instant. */
export interface WrapLoad {
  /** Tension of the entering span, N (≥ 0). */
  readonly tensionIn: number
  /** Tension the roller wants to take up or give: (drag torque + inertia torque)/radius, N. */
  readonly tensionRise: number
  /** m v², N: mass per metre of web times speed squared. */
  readonly momentum: number
  /** Coefficient of friction, web on roller. */
  readonly friction: number
}

/** What the web does to the roller. */
export interface WrapForce {
  /** Force from the tension (pressure and shear), N. */
  readonly fromTension: Vec2
  /** Force taken off by the web's momentum, N (points away from the roller's inward side). */
  readonly fromMomentum: Vec2
  readonly tensionOut: number
  /** Torque of the shear about the roller's centre in its running direction, N·m. */
  readonly torque: number
  /** True when friction could not carry the wanted rise: the web slides over the roller. */
  readonly slips: boolean
}

const GAUSS = 0.5 / Math.sqrt(3)

/** Tables normals and directions over the arc, two Gauss points to each of `elements` equal elements. */
export function tabulateWrap(arc: ContactArc, elements: number): WrapTable {
  const nodes = new Float64Array(elements * 8)
  const sense = arc.turns === 'ccw' ? 1 : -1
  for (let i = 0; i < elements; i++) {
    for (let g = 0; g < 2; g++) {
      const part = (i + 0.5 + (g === 0 ? -GAUSS : GAUSS)) / elements
      const angle = arc.entryAngle + sense * part * arc.wrap
      const n = vec(Math.cos(angle), Math.sin(angle))
      nodes.set([n.x, n.y, -sense * n.y, sense * n.x], i * 8 + g * 4)
    }
  }
  return { arc, elements, nodes }
}

/** Sums pressure and shear over the contact. A web lifted by its own momentum (T ≤ m v²) neither presses nor grips. */
export function integrateWrap(table: WrapTable, load: WrapLoad): WrapForce {
  const lift = Math.min(load.momentum, load.tensionIn)
  const gripped = gripFromExit(table, load, lift)
  const tensions = gripped ?? slideFromEntry(table, load, lift)
  const { elements, nodes, arc } = table
  const half = arc.wrap / elements / 2
  let fx = 0
  let fy = 0
  let mx = 0
  let my = 0
  for (let i = 0; i < elements; i++) {
    const before = tensions[i] as number
    const rise = (tensions[i + 1] as number) - before
    for (let g = 0; g < 2; g++) {
      const at = i * 8 + g * 4
      const nx = nodes[at] as number
      const ny = nodes[at + 1] as number
      const press = (before + rise * (g === 0 ? 0.5 - GAUSS : 0.5 + GAUSS)) * half
      fx += (nodes[at + 2] as number) * (rise / 2) - nx * press
      fy += (nodes[at + 3] as number) * (rise / 2) - ny * press
      mx += nx * lift * half
      my += ny * lift * half
    }
  }
  const tensionOut = tensions[elements] as number
  return {
    fromTension: vec(fx, fy),
    fromMomentum: vec(mx, my),
    tensionOut,
    torque: (tensionOut - load.tensionIn) * arc.radius,
    slips: gripped === null,
  }
}

let edges = new Float64Array(0)

/** Room for the tension at every edge, used again by the next instant: it is summed and forgotten. */
function edgesFor(elements: number): Float64Array {
  if (edges.length !== elements + 1) edges = new Float64Array(elements + 1)
  return edges
}

/**
 * Tension at every element's edge, marched back from the exit through the slip arc (implicit
 * midpoint) until the entering tension is met; null when the whole wrap is not enough.
 */
function gripFromExit(table: WrapTable, load: WrapLoad, lift: number): Float64Array | null {
  const { elements } = table
  const tensions = edgesFor(elements)
  const rising = load.tensionRise >= 0
  const h = halfGrip(table, load)
  let tension = load.tensionIn + load.tensionRise
  tensions[elements] = tension
  for (let i = elements - 1; i >= 0; i--) {
    const slipped = (tension * (1 - h) + 2 * h * lift) / (1 + h)
    tension = rising ? Math.max(slipped, load.tensionIn) : Math.min(slipped, load.tensionIn)
    if (tension === load.tensionIn) {
      // From here to the entry the web does not slip: one tension.
      tensions.fill(tension, 0, i + 1)
      return tensions
    }
    tensions[i] = tension
  }
  return null
}

/** Full slip: the same march from the entry, friction spent over the whole wrap. */
function slideFromEntry(table: WrapTable, load: WrapLoad, lift: number): Float64Array {
  const tensions = edgesFor(table.elements)
  const h = halfGrip(table, load)
  let tension = load.tensionIn
  tensions[0] = tension
  for (let i = 1; i <= table.elements; i++) {
    tension = (tension * (1 + h) - 2 * h * lift) / (1 - h)
    tensions[i] = tension
  }
  return tensions
}

/** ½ μ dθ of one element, negative where the tension falls along the web. */
function halfGrip(table: WrapTable, load: WrapLoad): number {
  return ((load.tensionRise >= 0 ? 1 : -1) * load.friction * table.arc.wrap) / table.elements / 2
}
