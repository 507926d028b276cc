/** Why the web cannot run as drawn. Lengths in m, angles in rad. */
export type PathFault =
  | { readonly kind: 'no-circle'; readonly roller: string }
  | { readonly kind: 'rollers-overlap'; readonly from: string; readonly to: string; readonly overlap: number }
  /** The straight line between the neighbours passes the roller without bending. */
  | { readonly kind: 'no-wrap'; readonly roller: string }
  /** The web would have to bend away from the roller: it reaches it only on the other side, or not at all. */
  | { readonly kind: 'wraps-wrong-way'; readonly roller: string; readonly wrap: number }
  /** Arriving and leaving span cross: the web would have to pass through itself. */
  | { readonly kind: 'crosses-itself'; readonly roller: string; readonly wrap: number }

/** The fault in a sentence: what, where, and what would mend it. */
export function pathFaultSentence(fault: PathFault): string {
  switch (fault.kind) {
    case 'no-circle':
      return `${fault.roller}: centre and radius must be numbers, the radius more than 0`
    case 'rollers-overlap':
      return `no web path from ${fault.from} to ${fault.to}: they overlap by ${(1000 * fault.overlap).toFixed(1)} mm`
    case 'no-wrap':
      return `the web passes ${fault.roller} without bending: it does not touch it`
    case 'wraps-wrong-way':
      return `the web does not reach ${fault.roller} on this side: it would wrap it by ${inDegrees(fault.wrap)}; pass it on the other side, or leave it out`
    case 'crosses-itself':
      return `the web would cross itself round ${fault.roller}, wrapping it by ${inDegrees(fault.wrap)}; pass it on the other side, or correct a centre`
  }
}

const inDegrees = (angle: number): string => `${((angle * 180) / Math.PI).toFixed(1)}°`

/** The web cannot run as drawn; `fault` says why in a form a page can put into its own words. */
export class ImpossiblePath extends Error {
  override readonly name = 'ImpossiblePath'
  constructor(readonly fault: PathFault) {
    super(pathFaultSentence(fault))
  }
}
