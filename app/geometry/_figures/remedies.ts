import type { GeometryWarning } from '../../../lib/geometry/warnings.ts'

/** What to do about a risky layout, one sentence each. */
export function remedyOf(warning: GeometryWarning): string {
  switch (warning.code) {
    case 'wrap-small':
      return 'Move a neighbour so that the web bends more round this roller, or measure every coordinate to half a millimetre.'
    case 'arrow-off-target':
      return 'With the machine stopped and locked out, turn the cell until the inclinometer shows the angle to set.'
    case 'arrow-against-pull':
      return 'Turn the cell by half a turn, or enter the angle again: the arrow points the way the web pushes the cell.'
    case 'arrow-across-pull':
      return 'Turn the cell towards the bisector, or choose a mount that can be turned.'
    case 'arrows-differ':
      return 'Set both ends by the same inclinometer, each in the words of the set-up card.'
    case 'over-capacity':
      return 'Choose a larger cell, less wrap, or an overload stop; check the overload factor.'
    case 'cell-too-large':
      return 'Choose a smaller cell, or more wrap.'
    case 'signal-under-range':
      return 'Zero the amplifier on the bare roller, turn the arrow, or shift the zero of the output.'
    case 'signal-over-range':
      return 'Give the output a larger full scale, or lower the largest tension.'
    case 'side-unloaded':
      return 'Guide the web nearer to the middle, or set the cells farther apart.'
    case 'growth-over-clearance':
      return 'Set a larger end clearance, let one end float, or fit the shaft nearer to its running temperature.'
    case 'clearance-unusual':
      return 'Check it with a feeler gauge against what the cell’s maker asks for.'
    case 'web-lifts':
      return 'Raise the tension or lower the speed: nothing is measured while the web does not press.'
    case 'air-film':
      return 'Use a grooved or rougher roller, or more tension; watch the roller’s own turn rate.'
    case 'roller-may-slip':
      return 'Use a roller that turns more freely, more wrap, or a rougher face.'
    case 'span-through-roller':
      return 'Correct a coordinate or a diameter, or pass the web on the other side.'
  }
}
