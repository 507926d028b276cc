import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { boundsOf, frameOf, scaleBar, stillServes, toModel, toPicture } from '../../app/geometry/_drawing/view-frame.ts'
import {
  arrowOf,
  draggedAngle,
  keyDirection,
  movedBy,
  movedTo,
  passedOnOtherSide,
  withArrow,
  withoutRoller,
  withRollerAdded,
} from '../../app/geometry/_model/edits.ts'
import { type Drawing, MEASURING, rollerAt, rollersOf } from '../../app/geometry/_model/rollers.ts'

const drawing: Drawing = {
  rollers: {
    before: [{ name: 'before', x_mm: -620, y_mm: -320, diameter_mm: 120, turn: 'counter-clockwise' }],
    measuring: { name: 'measuring', x_mm: 0, y_mm: 0, diameter_mm: 150, turn: 'clockwise' },
    after: [{ name: 'after', x_mm: 400, y_mm: -520, diameter_mm: 150, turn: 'counter-clockwise' }],
  },
  roller_mass_kg: 14,
  arrows_deg: { drive_side: -103, operator_side: -104 },
  tension: { low_n: 180, normal_n: 250, high_n: 300, fastest_m_min: 300 },
}
const circle = (x: number, y: number, radius: number) => ({ name: 'r', centre: { x, y }, radius, turn: 1 as const })
const length = fc.double({ min: -3, max: 3, noNaN: true })

describe('the side view’s frame', () => {
  it('a place in the picture and back is the same place, from either end', () => {
    fc.assert(
      fc.property(length, length, fc.boolean(), (x, y, isMirrored) => {
        const frame = frameOf({ left: -1, right: 1.5, bottom: -0.7, top: 0.4 }, 900, 600, 60, isMirrored)
        const back = toModel(frame, toPicture(frame, { x, y }))
        expect(back.x).toBeCloseTo(x, 9)
        expect(back.y).toBeCloseTo(y, 9)
      }),
    )
  })

  it('is to scale: a metre is as long across as up, and every roller lies within the picture', () => {
    const rollers = [circle(-0.62, -0.32, 0.06), circle(0, 0, 0.075), circle(0.4, -0.52, 0.075)]
    const frame = frameOf(boundsOf(rollers), 800, 500, 40, false)
    const [origin, right, up] = [
      toPicture(frame, { x: 0, y: 0 }),
      toPicture(frame, { x: 1, y: 0 }),
      toPicture(frame, { x: 0, y: 1 }),
    ]
    expect(right.x - origin.x).toBeCloseTo(origin.y - up.y, 9)
    for (const { centre, radius } of rollers) {
      const at = toPicture(frame, centre)
      expect(at.x - radius * frame.scale).toBeGreaterThanOrEqual(40 - 1e-6)
      expect(at.x + radius * frame.scale).toBeLessThanOrEqual(760 + 1e-6)
      expect(at.y - radius * frame.scale).toBeGreaterThanOrEqual(40 - 1e-6)
      expect(at.y + radius * frame.scale).toBeLessThanOrEqual(460 + 1e-6)
    }
  })

  it('downstream is on the right, and on the left when mirrored; up is up in both', () => {
    for (const isMirrored of [false, true]) {
      const frame = frameOf({ left: -1, right: 1, bottom: -1, top: 1 }, 400, 400, 20, isMirrored)
      expect(toPicture(frame, { x: 0.5, y: 0 }).x > 200).toBe(!isMirrored)
      expect(toPicture(frame, { x: 0, y: 0.5 }).y).toBeLessThan(200)
    }
  })

  it('stands still while all fits, and makes room or comes closer when it does not', () => {
    const held = { left: -1, right: 1, bottom: -1, top: 1 }
    expect(stillServes(held, { left: -0.9, right: 0.95, bottom: -0.9, top: 0.9 })).toBe(true)
    expect(stillServes(held, { left: -1.05, right: 1, bottom: -1, top: 1 })).toBe(false)
    expect(stillServes(held, { left: -0.2, right: 0.2, bottom: -0.2, top: 0.2 })).toBe(false)
  })

  it('the bar of the scale is a round length that is neither a dot nor the whole picture', () => {
    fc.assert(
      fc.property(fc.double({ min: 10, max: 20_000, noNaN: true }), (scale) => {
        const mm = scaleBar({ width: 0, height: 0, scale, isMirrored: false, centre: { x: 0, y: 0 } })
        const px = (mm / 1000) * scale
        expect(px).toBeGreaterThanOrEqual(60)
        expect(px).toBeLessThanOrEqual(151)
      }),
    )
  })
})

describe('edits of the drawing', () => {
  it('dragging puts a centre on whole millimetres; nudging keeps typed fractions', () => {
    expect(rollerAt(movedTo(drawing, MEASURING, 12.4, -3.6), MEASURING)).toMatchObject({ x_mm: 12, y_mm: -4 })
    const typed = movedBy(drawing, MEASURING, 0.25, 0)
    expect(rollerAt(movedBy(typed, MEASURING, 1, -10), MEASURING)).toMatchObject({ x_mm: 1.25, y_mm: -10 })
  })

  it('an arrow key moves the way it points on the screen, from whichever end one looks', () => {
    expect(keyDirection('ArrowRight', false)).toEqual({ x: 1, y: 0 })
    expect(keyDirection('ArrowRight', true)).toEqual({ x: -1, y: 0 })
    expect(keyDirection('ArrowUp', true)).toEqual({ x: 0, y: 1 })
    expect(keyDirection('a', false)).toBeNull()
  })

  it('an arrow points where its tip was dragged, in tenths of a degree', () => {
    expect(draggedAngle({ x: 0, y: 0 }, { x: 0, y: -2 })).toBe(-90)
    expect(draggedAngle({ x: 1, y: 1 }, { x: 2, y: 2 })).toBe(45)
    fc.assert(
      fc.property(fc.integer({ min: -1799, max: 1800 }), (tenths) => {
        const angle = (tenths * Math.PI) / 1800
        const tip = { x: 3 + Math.cos(angle), y: -1 + Math.sin(angle) }
        expect(draggedAngle({ x: 3, y: -1 }, tip)).toBeCloseTo(tenths / 10, 9)
      }),
    )
  })

  it('an arrow beyond half a turn is the same arrow told within half a turn, and only its own side turns', () => {
    const turned = withArrow(drawing, 'operator_side', 256)
    expect(arrowOf(turned, 'operator_side')).toBeCloseTo(-104, 9)
    expect(arrowOf(turned, 'drive_side')).toBe(-103)
  })

  it('the web passed on the other side turns the roller the other way, and back again', () => {
    const passed = passedOnOtherSide(drawing, MEASURING)
    expect(passed.rollers.measuring.turn).toBe('counter-clockwise')
    expect(passedOnOtherSide(passed, MEASURING)).toEqual(drawing)
  })

  it('a roller is added at the far end under a name of its own, and taken out again; the last on a side stays', () => {
    const more = withRollerAdded(drawing, 'before')
    expect(more.rollers.before).toHaveLength(2)
    expect(more.rollers.before[1]).toEqual(drawing.rollers.before[0])
    expect(new Set(rollersOf(more).map(({ roller }) => roller.name)).size).toBe(4)
    expect(withoutRoller(more, { group: 'before', index: 0 })).toEqual(drawing)
    expect(withoutRoller(drawing, { group: 'before', index: 0 })).toBe(drawing)
    expect(withoutRoller(drawing, MEASURING)).toBe(drawing)
  })
})
