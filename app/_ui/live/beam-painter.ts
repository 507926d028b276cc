import type { Side } from '../../../shared/sample.ts'
import { told } from '../../_language/current.ts'
import { type BeamAxis, type BeamLayout, yOf } from './beam-scale.ts'
import type { EndReading } from './end-reading.ts'

/** One end as it is to be drawn, in shown units. */
export interface PaintedEnd {
  readonly side: Side
  readonly x: number
  readonly reading: EndReading
  /** Why there is no value, in words. */
  readonly reason: string
  /** Where this end may stand for the side difference to be inside; null when nothing tells. */
  readonly allowed: readonly [number, number] | null
}

/** Line of pull on the ruler, CSS px; null when unknown or absent. */
export interface PaintedPull {
  readonly x: number
  readonly fromX: number
  readonly toX: number
  readonly text: string
}

/** An end of the beam as it should be. */
export interface PaintedGhost {
  readonly x: number
  readonly value: number
  readonly U: number
}

export interface BeamPicture {
  readonly layout: BeamLayout
  readonly axis: BeamAxis
  readonly ends: readonly PaintedEnd[]
  readonly pull: PaintedPull | null
  /** What the geometry expects at each end, in shown units; null where it expects nothing. */
  readonly ghost: readonly PaintedGhost[] | null
  /** Edges of the web across the roller, CSS px; null when its width is not known. */
  readonly web: readonly [number, number] | null
}

/** From the cell to the roller's face: shaft and bearing. */
const FACE_INSET = 38
const LEAST_FACE_INSET = 12
/** The face reaches at least this far beyond the web. */
const FACE_BEYOND_WEB = 8
const LEAST_SHIVER_PX = 3
/** The shiver stands on the outer side of its end, clear of the shaft. */
export const SHIVER_WIDTH = 26
const BRACKET_AT = 32
const BRACKET_TICK = 6
/** Half the width its text may need, so that the line of pull is never cut at the edge. */
const TEXT_CLEARANCE = 150
/** So far the expected beam runs on beyond the cells. */
const GHOST_BEYOND = 58

type Attributes = Readonly<Record<string, string | number>>

/**
 * Sets the moving parts of the beam, up to once a frame, straight on the SVG: React never hears of a
 * sample. Parts are found by `data-part`, once.
 */
export class BeamPainter {
  readonly #root: SVGSVGElement
  readonly #parts = new Map<string, SVGElement | null>()

  constructor(root: SVGSVGElement) {
    this.#root = root
  }

  paint(picture: BeamPicture): void {
    for (const end of picture.ends) this.#paintEnd(picture, end)
    this.#paintRoller(picture)
    this.#paintGhost(picture)
    this.#paintPull(picture)
  }

  #paintEnd({ layout, axis }: BeamPicture, end: PaintedEnd): void {
    const { side, x, reading } = end
    const isKnown = reading.state !== 'unknown'
    this.#set(`end-${side}`, { 'data-state': reading.state })
    this.#show(`known-${side}`, isKnown)
    this.#show(`unknown-${side}`, !isKnown)
    this.#text(`reason-${side}`, isKnown ? '' : end.reason)
    if (!isKnown) return
    const y = yOf(layout, axis, reading.value)
    const high = yOf(layout, axis, reading.high)
    const low = yOf(layout, axis, reading.low)
    const shiver = Math.max(LEAST_SHIVER_PX, low - high)
    this.#set(`post-${side}`, { x1: x, x2: x, y1: yOf(layout, axis, 0), y2: y })
    this.#set(`shiver-${side}`, {
      x: x < layout.middleX ? x - SHIVER_WIDTH : x,
      y: (high + low - shiver) / 2,
      height: shiver,
    })
    this.#set(`bearing-${side}`, { cx: x, cy: y })
    const inward = x < layout.middleX ? 1 : -1
    this.#show(`bracket-${side}`, end.allowed !== null)
    if (end.allowed === null) return
    const [from, to] = end.allowed.map((value) => yOf(layout, axis, value)) as [number, number]
    const at = x - inward * BRACKET_AT
    this.#set(`bracket-${side}`, {
      d: `M${at + inward * BRACKET_TICK} ${from}H${at}V${to}H${at + inward * BRACKET_TICK}`,
    })
  }

  #paintRoller(picture: BeamPicture): void {
    const line = rollerLine(picture)
    this.#show('roller', line !== null)
    this.#show('web', line !== null && picture.web !== null)
    if (line === null) return
    const { layout } = picture
    const half = layout.rollerThickness / 2
    const inset = faceInset(picture, line)
    const faceFrom = line.fromX + inset
    const shaftTo = line.isFree ? faceFrom : line.toX
    const faceTo = line.isFree ? line.toX : line.toX - inset
    this.#set('shaft', { x1: line.fromX, x2: shaftTo, y1: line.yAt(line.fromX), y2: line.yAt(shaftTo) })
    this.#set('face', {
      points: band(
        faceFrom,
        faceTo,
        (x) => line.yAt(x) - half,
        (x) => line.yAt(x) + half,
      ),
    })
    this.#set('shine', {
      x1: faceFrom,
      x2: faceTo,
      y1: line.yAt(faceFrom) - half * 0.45,
      y2: line.yAt(faceTo) - half * 0.45,
    })
    if (picture.web === null) return
    const [from, to] = picture.web
    this.#set('web-edges', {
      d: `M${from} ${line.yAt(from) + half}V${layout.rulerY}M${to} ${line.yAt(to) + half}V${layout.rulerY}`,
    })
    this.#set('web-on-roller', {
      points: band(
        from,
        to,
        (x) => line.yAt(x) - half,
        (x) => line.yAt(x) + half,
      ),
    })
    this.#set('web-below', {
      points: band(
        from,
        to,
        (x) => line.yAt(x) + half,
        () => layout.rulerY,
      ),
    })
  }

  /** A straight band from end to end and beyond both, so that it is seen where the roller covers it; its middle on top. */
  #paintGhost({ layout, axis, ghost }: BeamPicture): void {
    const [first] = ghost ?? []
    const last = ghost?.at(-1)
    const isShown = first !== undefined && last !== undefined
    this.#show('ghost', isShown)
    this.#show('ghost-line', isShown)
    if (!isShown) return
    const [left, right] = first.x <= last.x ? [first, last] : [last, first]
    const fromX = layout.leftX - GHOST_BEYOND
    const toX = layout.rightX + GHOST_BEYOND
    const edge = (of: (end: PaintedGhost) => number) => {
      const [y1, y2] = [yOf(layout, axis, of(left)), yOf(layout, axis, of(right))]
      const slope = left === right ? 0 : (y2 - y1) / (right.x - left.x)
      return (x: number) => y1 + slope * (x - left.x)
    }
    const middle = edge(({ value }) => value)
    this.#set('ghost', {
      points: band(
        fromX,
        toX,
        edge(({ value, U }) => value + U),
        edge(({ value, U }) => value - U),
      ),
    })
    this.#set('ghost-line', { x1: fromX, x2: toX, y1: middle(fromX), y2: middle(toX) })
  }

  #paintPull(picture: BeamPicture): void {
    const { layout, pull } = picture
    const line = rollerLine(picture)
    const isShown = pull !== null && line !== null
    this.#show('pull', isShown)
    if (!isShown) return
    const x = Math.min(layout.rightX, Math.max(layout.leftX, pull.x))
    this.#set('pull-marker', { transform: `translate(${x} ${layout.rulerY})` })
    this.#set('pull-bar', { x: pull.fromX, y: layout.rulerY - 5, width: Math.max(0, pull.toX - pull.fromX) })
    this.#set('pull-riser', { x1: x, x2: x, y1: layout.rulerY - 16, y2: line.yAt(x) + layout.rollerThickness / 2 })
    const clearance = Math.min(TEXT_CLEARANCE, layout.width / 2)
    this.#set('pull-text', { x: Math.min(layout.width - clearance, Math.max(clearance, x)) })
    this.#text('pull-text', pull.text)
  }

  #part(name: string): SVGElement | null {
    const known = this.#parts.get(name)
    if (known?.isConnected) return known
    const found = this.#root.querySelector<SVGElement>(`[data-part="${name}"]`)
    this.#parts.set(name, found)
    return found
  }

  #set(name: string, attributes: Attributes): void {
    const part = this.#part(name)
    if (part === null) return
    for (const [key, value] of Object.entries(attributes)) {
      const text = typeof value === 'number' ? value.toFixed(2) : value
      if (part.getAttribute(key) !== text) part.setAttribute(key, text)
    }
  }

  #show(name: string, isShown: boolean): void {
    const part = this.#part(name)
    if (part === null) return
    if (isShown) part.removeAttribute('display')
    else part.setAttribute('display', 'none')
  }

  #text(name: string, words: string): void {
    const text = told(words)
    const part = this.#part(name)
    if (part !== null && part.textContent !== text) part.textContent = text
  }
}

interface RollerLine {
  readonly fromX: number
  readonly toX: number
  /** The far end hangs free: one cell carries the roller. */
  readonly isFree: boolean
  readonly yAt: (x: number) => number
}

/** The roller's axis from end to end; null when an end is unknown. One cell tells no tilt: level. */
function rollerLine({ layout, axis, ends }: BeamPicture): RollerLine | null {
  const sorted = [...ends].sort((a, b) => a.x - b.x)
  const first = sorted[0]
  const last = sorted.at(-1)
  if (first === undefined || last === undefined) return null
  if (first.reading.state === 'unknown' || last.reading.state === 'unknown') return null
  const y1 = yOf(layout, axis, first.reading.value)
  const y2 = yOf(layout, axis, last.reading.value)
  if (first === last) return { fromX: first.x, toX: layout.rightX, isFree: true, yAt: () => y1 }
  const slope = (y2 - y1) / (last.x - first.x)
  return { fromX: first.x, toX: last.x, isFree: false, yAt: (x) => y1 + slope * (x - first.x) }
}

/** Shaft between cell and face, CSS px: shorter where the web comes near the cells, never gone. */
function faceInset({ web }: BeamPicture, line: RollerLine): number {
  if (web === null) return FACE_INSET
  const room = Math.min(web[0] - line.fromX, line.toX - web[1]) - FACE_BEYOND_WEB
  return Math.max(LEAST_FACE_INSET, Math.min(FACE_INSET, room))
}

/** Corners of a band between two x with its own upper and lower edge. */
function band(from: number, to: number, upper: (x: number) => number, lower: (x: number) => number): string {
  const corners = [
    [from, upper(from)],
    [to, upper(to)],
    [to, lower(to)],
    [from, lower(from)],
  ]
  return corners.map((corner) => corner.map((n) => (n ?? 0).toFixed(2)).join(',')).join(' ')
}
