import type { OperatingState, Trio, ZoneGeometry } from '../../lib/geometry/description.ts'
import type { SignalChain } from '../../lib/geometry/signal.ts'
import { radians } from '../../lib/geometry/vector.ts'

/** A 90° wrap: the web comes level from upstream over the measuring roller and leaves straight down. */
export const RIGHT_ANGLE: Trio = {
  before: { name: 'guide roller', centre: { x: -1, y: 0 }, radius: 0.05, turn: -1 },
  measuring: { name: 'measuring roller', centre: { x: 0, y: 0 }, radius: 0.05, turn: -1 },
  after: { name: 'chill roller', centre: { x: 0, y: -1 }, radius: 0.05, turn: -1 },
}

const CURRENT_LOOP: SignalChain = { kind: '4-20mA', fullScaleForce: 500, zeroedOn: 'unloaded cell' }

/** A pair of 500 N cells 1.6 m apart, arrows on the bisector of RIGHT_ANGLE, everything else ordinary. */
export function plainZone(trio: Trio) {
  const cell = { arrow: radians(-135), capacity: 500, chain: CURRENT_LOOP }
  return {
    path: { before: [trio.before], measuring: trio.measuring, after: [trio.after] },
    moving: null,
    roller: { kind: 'dead-shaft idler', mass: 12, centreOfMass: 0, friction: null },
    mount: 'flange',
    cells: { drive_side: cell, operator_side: cell },
    cellDistance: 1.6,
    web: { width: 1.3, basisWeight: 0.045 },
    gravity: 9.81,
    target: { kind: 'bisector' },
    load: { smallest: 100, normal: 200, largest: 300, overloadFactor: 2, fastestSpeed: 5, linesOfPull: [-0.04, 0.04] },
    fit: null,
    air: null,
  } satisfies ZoneGeometry
}

export const RUNNING: OperatingState = {
  tension: 200,
  tensionRise: 0,
  speed: 0,
  lineOfPull: 0,
  webOffset: 0,
  neighbour: null,
}
