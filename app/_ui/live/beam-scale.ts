/** The upright axis of the beam: from `from` to `to` in shown units, a tick every `step`. */
export interface BeamAxis {
  readonly from: number
  readonly to: number
  readonly step: number
}

/** Room left above the highest end, so that a rising force does not change the axis at once. */
const HEADROOM = 1.25
/** The axis is taken smaller only when the ends use less of it than this: it must not breathe with the noise. */
const SHRINK_BELOW = 0.5
/** A reading this far under zero, as a share of the axis, is shown under the zero line. */
const NEGATIVE_SHARE = 0.03
/** The axis reaches at least this share of the capacity: around zero it must not make much of a little noise. */
const LEAST_SHARE = 0.05
const MOST_STEPS = 6
const NICE = [1, 2, 2.5, 5, 10]

/** Smallest of 1, 2, 2.5, 5 × 10ⁿ that is not under `least`; 1 for anything not above zero. */
export function niceAtLeast(least: number): number {
  if (!(least > 0) || !Number.isFinite(least)) return 1
  const power = 10 ** Math.floor(Math.log10(least))
  const nice = NICE.find((n) => n * power >= least * (1 - 1e-9)) ?? 10
  return nice * power
}

/**
 * The axis for these values (shown units; only known ones). Keeps `previous` while the values fit it
 * and use enough of it. With no values: `previous`, or up to the capacity.
 */
export function beamAxis(values: readonly number[], previous: BeamAxis | null, capacity: number): BeamAxis {
  const known = values.filter(Number.isFinite)
  if (known.length === 0) return previous ?? axisTo(capacity, 0)
  const least = capacity * LEAST_SHARE
  const highest = Math.max(least, ...known)
  const lowest = Math.min(0, ...known)
  if (previous !== null && isFitting(previous, highest, lowest)) return previous
  const to = highest * HEADROOM
  const from = lowest < -NEGATIVE_SHARE * highest ? lowest * HEADROOM : 0
  return axisTo(to, from)
}

function isFitting(axis: BeamAxis, highest: number, lowest: number): boolean {
  const size = axis.to - axis.from
  const isWithin = highest <= axis.to && lowest >= axis.from - NEGATIVE_SHARE * size
  return isWithin && Math.max(highest, -lowest) >= SHRINK_BELOW * Math.max(axis.to, -axis.from)
}

function axisTo(to: number, from: number): BeamAxis {
  const step = niceAtLeast((to - from) / MOST_STEPS)
  return { from: Math.floor(from / step + 1e-9) * step, to: Math.ceil(to / step - 1e-9) * step, step }
}

export function ticksOf(axis: BeamAxis): readonly number[] {
  const count = Math.round((axis.to - axis.from) / axis.step)
  return Array.from({ length: count + 1 }, (_, i) => axis.from + i * axis.step)
}

/** Where everything stands, in CSS pixels of the drawing. */
export interface BeamLayout {
  readonly width: number
  readonly height: number
  /** Upright axis. */
  readonly axisX: number
  readonly top: number
  readonly bottom: number
  /** The cells. `right` is absent for a zone of one cell. */
  readonly leftX: number
  readonly rightX: number
  readonly middleX: number
  /** Ruler across the roller. */
  readonly rulerY: number
  readonly rollerThickness: number
}

const AXIS_WIDTH = 52
const WIDE = 640
const LONGEST_CANTILEVER = 420

/** `cells` is 1 for a cantilever roller: it ends free, and is drawn no longer than it looks like one. */
export function beamLayout(width: number, hasRuler: boolean, cells: number): BeamLayout {
  const isWide = width >= WIDE
  const plotHeight = isWide ? 300 : 210
  const top = 34
  const bottom = top + plotHeight
  const inset = isWide ? 84 : 66
  const leftX = AXIS_WIDTH + inset
  const freeX = width - inset - (isWide ? 8 : 0)
  const rightX = cells === 1 ? Math.min(freeX, leftX + LONGEST_CANTILEVER) : freeX
  const rulerY = bottom + 62
  return {
    width,
    height: hasRuler ? rulerY + 56 : bottom + 40,
    axisX: AXIS_WIDTH,
    top,
    bottom,
    leftX,
    rightX,
    middleX: (leftX + rightX) / 2,
    rulerY,
    rollerThickness: isWide ? 34 : 24,
  }
}

/** Height of a force on the axis, CSS px; kept within the drawing. */
export function yOf(layout: BeamLayout, axis: BeamAxis, value: number): number {
  const share = (value - axis.from) / (axis.to - axis.from)
  return layout.bottom - Math.min(1, Math.max(0, share)) * (layout.bottom - layout.top)
}

/** Place across the roller (m from mid-span, towards the operator side), CSS px; not clamped. */
export function xOf(layout: BeamLayout, cellDistanceM: number, lateralM: number, isFlipped: boolean): number {
  const share = lateralM / cellDistanceM
  return layout.middleX + (isFlipped ? -1 : 1) * share * (layout.rightX - layout.leftX)
}
