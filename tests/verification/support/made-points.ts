import type { VerificationContext } from '../../../lib/verification/context.ts'
import type { Capture } from '../../../shared/schemas/verification/capture.ts'
import { halfTurn } from './made-context.ts'
import { captured, judged } from './made-record.ts'

export const context = halfTurn()
export const SIDES = ['drive_side', 'operator_side'] as const
/** Two tensions at each of two speeds, N and m/s; m v² is 0.2 N at 2 m/s and 11.7 N at 15 m/s. */
export const GRID = [
  [100, 2],
  [100, 15],
  [200, 2],
  [200, 15],
] as const
export const MASS = 0.052
/** Half a turn: each side feels T − m v². */
export const pull = (tension: number, speed: number): number => tension - MASS * speed ** 2

export type Forces = Readonly<Record<(typeof SIDES)[number], number>>
export type Spoil = (right: number, tension: number, speed: number) => Partial<Forces>

export function point(tension: number, speed: number, forces: Forces, more: Partial<Capture> = {}): Capture {
  const side = (force: number) => ({ force, u: 0.02, noise: 0.2 })
  return captured(
    context,
    'point',
    { drive_side: side(forces.drive_side), operator_side: side(forces.operator_side) },
    { speed: { value: speed, u: 0.001 }, reference: { value: tension, u: 0.01 }, ...more },
  )
}

export function points(spoil: Spoil = () => ({}), grid: readonly (readonly [number, number])[] = GRID): Capture[] {
  return grid.map(([tension, speed]) => {
    const right = pull(tension, speed)
    return point(tension, speed, { drive_side: right, operator_side: right, ...spoil(right, tension, speed) })
  })
}
export const judge = (captures: readonly Capture[], at: VerificationContext = context) =>
  judged(at, 'running.points', {}, captures)
export const both = (force: number): Forces => ({ drive_side: force, operator_side: force })
