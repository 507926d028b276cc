import type { Programme, Stage } from '../physics/programme.ts'

/** Share of speed and tension, and how long it is held, s. */
const HOLDS: readonly { readonly seconds: number; readonly speed: number; readonly tension: number }[] = [
  { seconds: 600, speed: 1, tension: 1 },
  { seconds: 300, speed: 1, tension: 1.01 },
  { seconds: 700, speed: 0.75, tension: 1.01 },
  { seconds: 300, speed: 0.75, tension: 1 },
  { seconds: 600, speed: 0.9, tension: 0.99 },
]
const RAMP_S = 40

/** A shift at a line's ordinary speed and tension: the operator trims the tension a little and slows down twice in 43 minutes. */
export function ordinaryShift(zone: string, metresPerMinute: number, newtons: number): Programme {
  const speed = metresPerMinute / 60
  const stages = HOLDS.flatMap((hold): Stage[] => [
    { seconds: RAMP_S, speed: speed * hold.speed, setTension: { [zone]: newtons * hold.tension } },
    { seconds: hold.seconds, speed: speed * hold.speed },
  ])
  return { startSpeed: speed * (HOLDS.at(-1)?.speed ?? 1), setTension: { [zone]: newtons }, stages, repeat: true }
}
