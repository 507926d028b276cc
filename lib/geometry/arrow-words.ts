import { dot, signedAngle, unitAt, type Vector, vector } from './vector.ts'

/** The direction of an arrow in words that are the same from both ends of the roller. */
export interface ArrowWords {
  /** Between the arrow's line and the vertical, rad in [0, π/2]: what an inclinometer on it shows. */
  readonly fromVertical: number
  readonly pointing: 'up' | 'down' | 'level'
  readonly leaning: 'upstream' | 'downstream' | 'neither'
  /** "12.5° from vertical, pointing down, leaning downstream" */
  readonly sentence: string
}

/** Closer than this to vertical or level there is nothing to lean or point, rad (0.05°, the last figure shown). */
const NOTHING = (0.05 * Math.PI) / 180

/**
 * An arrow in words: degrees from vertical, pointing up or down, leaning upstream or downstream. x runs downstream and y
 * up whichever end one looks from, so the words do not mirror.
 *
 * @param arrow rad counter-clockwise from +x (downstream)
 */
export function arrowWords(arrow: number): ArrowWords {
  const { x, y } = unitAt(arrow)
  const fromVertical = Math.atan2(Math.abs(x), Math.abs(y))
  const leaning = fromVertical < NOTHING ? 'neither' : x > 0 ? 'downstream' : 'upstream'
  const pointing = fromVertical > Math.PI / 2 - NOTHING ? 'level' : y > 0 ? 'up' : 'down'
  return { fromVertical, pointing, leaning, sentence: sentenceOf(fromVertical, pointing, leaning) }
}

function sentenceOf(fromVertical: number, pointing: ArrowWords['pointing'], leaning: ArrowWords['leaning']): string {
  if (leaning === 'neither') return `vertical, pointing ${pointing}`
  if (pointing === 'level') return `level, pointing ${leaning}`
  return `${((fromVertical * 180) / Math.PI).toFixed(1)}° from vertical, pointing ${pointing}, leaning ${leaning}`
}

/** The arrow back from its words; NaN for words that contradict each other. */
export function arrowFromWords({ fromVertical, pointing, leaning }: Omit<ArrowWords, 'sentence'>): number {
  const x = leaning === 'downstream' ? 1 : leaning === 'upstream' ? -1 : 0
  const y = pointing === 'up' ? 1 : pointing === 'down' ? -1 : 0
  const angle = Math.atan2(y * Math.cos(fromVertical), x * Math.sin(fromVertical))
  return x === 0 && y === 0 ? Number.NaN : angle
}

/** Which way the web runs, as seen by a person who stands at the operator side and faces the roller's end. */
export type RunsSeenFromOperatorSide = 'left to right' | 'right to left'

/**
 * Picture direction of something in the side view, as seen by a person facing one end: x to the right, y up. The
 * person at the drive side sees the web run the other way, so the picture mirrors; the words of `arrowWords` do not.
 */
export function seenFrom(
  direction: Vector,
  end: 'drive_side' | 'operator_side',
  runs: RunsSeenFromOperatorSide,
): Vector {
  const rightIsDownstream = (runs === 'left to right') === (end === 'operator_side')
  return vector(rightIsDownstream ? direction.x : -direction.x, direction.y)
}

/** How far an arrow is from its target, rad, and which way to turn it, in words that do not mirror. */
export function turnToTarget(arrow: number, target: number): { readonly off: number; readonly words: string } {
  const off = signedAngle(arrow - target)
  if (Math.abs(off) < NOTHING) return { off, words: 'at its target' }
  const degrees = ((Math.abs(off) * 180) / Math.PI).toFixed(1)
  // Where the tip goes when the arrow is turned back by `off`.
  const tip = unitAt(arrow - Math.sign(off) * (Math.PI / 2))
  const [x, y] = [dot(tip, vector(1, 0)), dot(tip, vector(0, 1))]
  const way = Math.abs(x) >= Math.abs(y) ? (x > 0 ? 'downstream' : 'upstream') : y > 0 ? 'upwards' : 'downwards'
  return { off, words: `turn it ${degrees}°, its tip ${way}` }
}
