import { type PointerEvent, useRef, useState } from 'react'
import type { Vector } from '../../../lib/geometry/vector.ts'

interface DragHandlers {
  onPointerDown(event: PointerEvent<SVGElement>): void
  onPointerMove(event: PointerEvent<SVGElement>): void
  onPointerUp(event: PointerEvent<SVGElement>): void
  onPointerCancel(event: PointerEvent<SVGElement>): void
}

export interface Drag {
  /** Something is being dragged. */
  readonly isDragging: boolean
  /**
   * Handlers of one thing. `at` is where it is, px; `move` gets where it should be, the place it was grabbed kept
   * under the pointer.
   */
  handlers(at: Vector, move: (to: Vector) => void): DragHandlers
}

/** A press that moves less than this is a selection, px. */
const SLOP = 3

/** Dragging with mouse, pen or finger inside one SVG. */
export function useDrag(onEnd: () => void): Drag {
  const grabbed = useRef<{ id: number; offset: Vector; from: Vector; hasMoved: boolean } | null>(null)
  const [isDragging, setDragging] = useState(false)
  const finish = (event: PointerEvent<SVGElement>) => {
    if (grabbed.current?.id !== event.pointerId) return
    grabbed.current = null
    setDragging(false)
    onEnd()
  }
  return {
    isDragging,
    handlers: (at, move) => ({
      onPointerDown: (event) => {
        if (event.button !== 0 || grabbed.current !== null) return
        const pointer = pointerIn(event)
        if (pointer === null) return
        event.currentTarget.setPointerCapture(event.pointerId)
        const offset = { x: at.x - pointer.x, y: at.y - pointer.y }
        grabbed.current = { id: event.pointerId, offset, from: pointer, hasMoved: false }
      },
      onPointerMove: (event) => {
        const held = grabbed.current
        if (held === null || held.id !== event.pointerId) return
        const pointer = pointerIn(event)
        if (pointer === null) return
        if (!held.hasMoved && Math.hypot(pointer.x - held.from.x, pointer.y - held.from.y) < SLOP) return
        held.hasMoved = true
        setDragging(true)
        move({ x: pointer.x + held.offset.x, y: pointer.y + held.offset.y })
      },
      onPointerUp: finish,
      onPointerCancel: finish,
    }),
  }
}

function pointerIn(event: PointerEvent<SVGElement>): Vector | null {
  const box = event.currentTarget.ownerSVGElement?.getBoundingClientRect()
  return box === undefined ? null : { x: event.clientX - box.left, y: event.clientY - box.top }
}
