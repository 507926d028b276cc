/**
 * Roller kinds and mounts. They change what is checked at the machine and what can be turned, not the physics: the
 * cells carry the roller's mass and the web's force whatever holds them. All common practice, no source.
 */
export type RollerKind = 'dead-shaft idler' | 'live shaft' | 'cantilever'
export type MountKind = 'foot' | 'flange' | 'pillow block'

export interface RollerKindFacts {
  readonly cells: 1 | 2
  /** What the mass on the cells is made of. */
  readonly mass: string
  readonly checks: readonly string[]
}

export const ROLLER_KINDS: Readonly<Record<RollerKind, RollerKindFacts>> = {
  'dead-shaft idler': {
    cells: 2,
    mass: 'roller, its bearings, and the shaft that stands still in the cells',
    checks: ['the shaft cannot turn in the cells', 'the roller spins freely on its shaft'],
  },
  'live shaft': {
    cells: 2,
    mass: 'roller and shaft, which turn together in bearings on the cells, and those bearings',
    checks: ['bearings aligned and free', 'one bearing fixed along the shaft, the other free to float'],
  },
  cantilever: {
    cells: 1,
    mass: 'everything that hangs on the one cell',
    checks: [
      'the web runs where the cell was set up for',
      'no side difference can be read: one cell tells no line of pull',
      'a cell that feels moment makes an error of tension out of where the web runs: check with the weight at both edges',
    ],
  },
}

export interface MountFacts {
  /** What can be turned to bring the arrow to its target. */
  readonly turns: 'any angle' | 'with its base'
  readonly how: string
  readonly checks: readonly string[]
}

export const MOUNTS: Readonly<Record<MountKind, MountFacts>> = {
  flange: {
    turns: 'any angle',
    how: 'the body turns about the shaft’s axis before it is clamped to the frame',
    checks: ['arrow at its target by inclinometer after tightening', 'bolts tightened crosswise'],
  },
  foot: {
    turns: 'with its base',
    how: 'the arrow stands square to the mounting face: only the face, or a wedge under it, turns it',
    checks: ['mounting face flat and clean', 'arrow square to the face, its angle by inclinometer'],
  },
  'pillow block': {
    turns: 'with its base',
    how: 'the arrow stands square to the base under the bearing block: only the base turns it',
    checks: ['block square on the cell', 'bearing free in its housing', 'arrow’s angle by inclinometer'],
  },
}
