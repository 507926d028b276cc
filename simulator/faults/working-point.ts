import type { Programme } from '../physics/programme.ts'

/** A line whose programme lets it stand works at this speed, m/s. */
const SPEED_WHERE_IT_STANDS = 2

/** Highest speed and set tension that the programme asks for: what a severity in per cent refers to. */
export function workingPoint(programme: Programme, zone: string): { readonly speed: number; readonly tension: number } {
  const speeds = [programme.startSpeed, ...programme.stages.map((stage) => stage.speed)]
  const tensions = [programme, ...programme.stages].map(({ setTension }) => setTension?.[zone] ?? 0)
  const speed = Math.max(...speeds)
  const tension = Math.max(...tensions)
  return { speed: speed > 0 ? speed : SPEED_WHERE_IT_STANDS, tension }
}
