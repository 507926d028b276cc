import { SIDE_WORDS } from './sided.ts'
import { degrees } from './vector.ts'
import type { GeometryWarning } from './warnings.ts'

const deg = (angle: number): string => `${Math.abs(degrees(angle)).toFixed(1)}°`
const percent = (share: number): string => `${(100 * share).toFixed(1)} %`
const mm = (metres: number): string => `${(1000 * metres).toFixed(2)} mm`
const newtons = (force: number): string => `${force.toFixed(0)} N`

/** A warning as an English sentence in SI: what, where, and what follows. A page may write its own from the code. */
export function warningSentence(w: GeometryWarning): string {
  switch (w.code) {
    case 'wrap-small':
      return `The wrap is ${deg(w.wrap)}: under ${deg(w.limit)} the reading is mostly geometry, and a small shift of a roller changes it much.`
    case 'arrow-off-target':
      return `The arrow of the ${SIDE_WORDS[w.side]} is ${deg(w.off)} off its target; the limit is ${deg(w.limit)}.`
    case 'arrow-against-pull':
      return `The arrow of the ${SIDE_WORDS[w.side]} points against the pull of the web: its signal falls as tension rises.`
    case 'arrow-across-pull':
      return `The arrow of the ${SIDE_WORDS[w.side]} stands across the pull of the web and loses ${percent(w.loss)} of it.`
    case 'arrows-differ':
      return `The two arrows differ by ${deg(w.by)}; the limit is ${deg(w.limit)}.`
    case 'over-capacity':
      return `${w.in}: ${newtons(w.force)} on the ${SIDE_WORDS[w.side]} is over its rated capacity of ${newtons(w.capacity)}.`
    case 'cell-too-large':
      return `The smallest tension uses ${percent(w.use)} of the cell of the ${SIDE_WORDS[w.side]}: under ${percent(w.limit)} a smaller cell would tell it better.`
    case 'signal-under-range':
      return `${w.in}: the ${SIDE_WORDS[w.side]} would give ${w.signal.toFixed(2)}, under the ${w.limit} its output can say.`
    case 'signal-over-range':
      return `${w.in}: the ${SIDE_WORDS[w.side]} would give ${w.signal.toFixed(2)}, over the ${w.limit} its output can say.`
    case 'side-unloaded':
      return `With the pull ${mm(w.lineOfPull)} from the middle, beyond the other cell, the ${SIDE_WORDS[w.side]} is lifted.`
    case 'growth-over-clearance':
      return `The shaft grows by ${mm(w.growth)}, ${mm(-w.left)} more than the end clearance: it pushes the cells sideways.`
    case 'clearance-unusual':
      return `The end clearance is ${mm(w.clearance)}; ${mm(w.least)} to ${mm(w.most)} is usual.`
    case 'web-lifts':
      return `m·v² is ${newtons(w.momentum)} and the tension ${newtons(w.tension)}: the web lifts off the roller.`
    case 'air-film':
      return w.floats
        ? `The air film is ${w.ratio.toFixed(1)} times the roughness: the web floats and the roller may stop turning with it.`
        : `The air film is ${w.ratio.toFixed(1)} times the roughness: the grip of the roller begins to go.`
    case 'roller-may-slip':
      return `The roller needs a friction of ${w.needed.toFixed(2)} and has ${w.friction.toFixed(2)}: the web may slide over it.`
    case 'span-through-roller':
      return `The ${w.span} span runs ${mm(w.depth)} through ${w.roller}.`
  }
}
