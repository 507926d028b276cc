/** What the machine is told to do: a list of stages, as an operator would run it. */
export interface Stage {
  readonly seconds: number
  /** Speed at the end of the stage, m/s; reached along an S-curve from the one before, so that acceleration has no jump. */
  readonly speed: number
  /** Set tension of each zone from the beginning of the stage, N; a zone not named keeps its last one. */
  readonly setTension?: Readonly<Record<string, number>>
  /** The drives let go and the web hangs slack. */
  readonly slack?: boolean
}

export interface Programme {
  readonly startSpeed: number
  readonly setTension: Readonly<Record<string, number>>
  readonly stages: readonly Stage[]
  /** Begin anew after the last stage; otherwise its end is held. */
  readonly repeat: boolean
}

/** What the programme asks for at one instant. */
export interface Command {
  readonly speed: number
  readonly setTension: Readonly<Record<string, number>>
  readonly slack: boolean
}

/** The command at `time` seconds after the start. Throws RangeError when a repeating programme has no length. */
export function commandAt(programme: Programme, time: number): Command {
  const total = programme.stages.reduce((sum, stage) => sum + stage.seconds, 0)
  if (programme.repeat && !(total > 0)) throw new RangeError('a programme that repeats needs a length')
  let left = programme.repeat ? time % total : time
  let speed = programme.repeat && time >= total ? lastSpeed(programme) : programme.startSpeed
  let setTension = programme.setTension
  let slack = false
  for (const stage of programme.stages) {
    if (stage.setTension !== undefined) setTension = { ...setTension, ...stage.setTension }
    slack = stage.slack === true
    if (left < stage.seconds) {
      return { speed: speed + (stage.speed - speed) * sCurve(left / stage.seconds), setTension, slack }
    }
    left -= stage.seconds
    speed = stage.speed
  }
  return { speed, setTension, slack }
}

function lastSpeed(programme: Programme): number {
  return programme.stages.at(-1)?.speed ?? programme.startSpeed
}

/** 0 to 1 with a level start and end: 3x² − 2x³. */
function sCurve(x: number): number {
  return x * x * (3 - 2 * x)
}
