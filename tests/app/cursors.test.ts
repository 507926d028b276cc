import fc from 'fast-check'
import { describe, expect, it, vi } from 'vitest'
import { differences, NO_CURSORS, placeCursor, readingDecimals, readingsAt } from '../../app/_plots/cursors.ts'
import { drawnAux, drawnSides, tracedQuantity } from '../../app/_plots/drawn-columns.ts'
import { keyAction } from '../../app/_plots/trace-keys.ts'
import type { TraceActions } from '../../app/_plots/use-traces.ts'
import type { ZoneInfo } from '../../shared/schemas/zones.ts'
import { SI_CHOICE } from '../../shared/unit-choice.ts'
import { type Row, ringWith } from './plot-rows.ts'

const zone: ZoneInfo = {
  id: 'z',
  name: 'Z',
  columns: ['drive_side', 'operator_side', 'speed'],
  totalMeans: 'tension',
  cellDistanceM: 1.6,
  webWidthM: 1.3,
  webOffsetM: 0,
  capacityN: { drive_side: 1000, operator_side: 1000 },
  forceFactor: { drive_side: 1.4, operator_side: -0.7 },
  rateHz: 100,
  averageSeconds: 30,
}
const gaps = { holeMs: 30, envelopeHoleMs: 1500, silenceMs: 500, pausesMs: 2000 }

describe('placeCursor', () => {
  it('sets A, then B, then begins anew with A', () => {
    const a = placeCursor(NO_CURSORS, 1)
    const b = placeCursor(a, 2)
    expect([a, b, placeCursor(b, 3)]).toEqual([
      { a: 1, b: null },
      { a: 1, b: 2 },
      { a: 3, b: null },
    ])
  })
})

describe('drawnSides', () => {
  it('shows web tension where the force factor is known: 140 N along an arrow of 1.4 N/N is 100 N of web', () => {
    const [ds] = drawnSides(zone, SI_CHOICE)
    expect(140 * (ds?.map.factor ?? 0) + (ds?.map.offset ?? 0)).toBeCloseTo(100, 9)
    expect(tracedQuantity(zone)).toBe('web tension on each side')
  })

  it('shows the force along the arrow where it is not, and says so', () => {
    const plain: ZoneInfo = { ...zone, totalMeans: 'force', forceFactor: null }
    expect(drawnSides(plain, SI_CHOICE).map((c) => c.map)).toEqual([
      { factor: 1, offset: 0 },
      { factor: 1, offset: 0 },
    ])
    expect(tracedQuantity(plain)).toBe('force along each arrow')
  })

  it('tells the sides apart by tone, dash and words', () => {
    const [ds, os] = drawnSides(zone, SI_CHOICE)
    expect([ds?.tone, ds?.isDashed, ds?.label]).toEqual(['drive', false, 'drive side'])
    expect([os?.tone, os?.isDashed, os?.label]).toEqual(['operator', true, 'operator side'])
  })

  it('converts with the reader’s units: 1 lbf = 4.4482216152605 N, 100 m/min = 5/3 m/s (SP 811, appendix B)', () => {
    const [ds] = drawnSides({ ...zone, totalMeans: 'force' }, { ...SI_CHOICE, force: 'lbf' })
    expect(4.4482216152605 * (ds?.map.factor ?? 0)).toBeCloseTo(1, 12)
    const speed = drawnAux(zone, 'speed', SI_CHOICE)
    expect((5 / 3) * speed.map.factor).toBeCloseTo(100, 9)
  })
})

describe('readings at two cursors', () => {
  const rows: Row[] = [
    { t: 1000, values: [140, -70], codes: ['good', 'good'] },
    { t: 1010, values: [154, -77], codes: ['good', 'wire-break'] },
  ]
  const columns = drawnSides(zone, SI_CHOICE)
  const at = (tMs: number | null) => readingsAt(ringWith(rows), columns, tMs, 2, gaps)

  it('differ in shown units, and are not known where one side has no value', () => {
    const [ds, os] = differences(at(1000), at(1010))
    expect(ds).toBeCloseTo(10, 5)
    expect(os).toBeNull()
  })

  it('keep lowest under highest where a factor is negative', () => {
    const wide = readingsAt(ringWith(rows.map((r) => ({ ...r, codes: ['good', 'good'] }))), columns, 1005, 40, gaps)
    const os = wide?.readings[1]
    expect(os?.kind === 'value' && os.lo < os.hi && os.lo > 0).toBe(true)
  })

  it('have no difference until both are set', () => {
    expect(differences(at(1000), at(null))).toEqual([])
    expect(readingsAt(null, columns, 1000, 2, gaps)).toBeNull()
  })
})

describe('readingDecimals', () => {
  it('keeps four digits, at most three of them decimals', () => {
    expect([0.01234, 1.234, 12.34, 123.4, 1234, 98765].map(readingDecimals)).toEqual([3, 3, 2, 1, 0, 0])
  })
})

describe('keys on the traces', () => {
  const span = { fromMs: 0, toMs: 10_000, bucketMs: 10 }
  const press = (key: string, held: { shiftKey?: boolean; ctrlKey?: boolean } = {}) => ({
    key,
    shiftKey: false,
    ctrlKey: false,
    metaKey: false,
    altKey: false,
    ...held,
  })
  const actions = (): TraceActions => ({
    chooseWindow: vi.fn(),
    pause: vi.fn(),
    resume: vi.fn(),
    togglePause: vi.fn(),
    scrubTo: vi.fn(),
    zoomTo: vi.fn(),
    zoom: vi.fn(),
    resetZoom: vi.fn(),
    point: vi.fn(),
    place: vi.fn(),
    setCursor: vi.fn(),
    clearCursors: vi.fn(),
    goTo: vi.fn(),
  })
  const state = {
    view: { mode: 'live', windowMs: 10_000 },
    frozen: null,
    frozenExpected: null,
    pointed: { tMs: 4000 },
    cursors: NO_CURSORS,
  } as const

  it('arrows move the cursor by one pixel, with Shift by ten, and never off the picture', () => {
    const act = actions()
    const context = { state, actions: act, onNextFlag: vi.fn() }
    keyAction(press('ArrowRight'), span, context)?.()
    keyAction(press('ArrowLeft', { shiftKey: true }), span, context)?.()
    keyAction(press('End'), span, context)?.()
    expect(vi.mocked(act.point).mock.calls).toEqual([[{ tMs: 4010 }], [{ tMs: 3900 }], [{ tMs: 10_000 }]])
    keyAction(press('ArrowRight'), span, { ...context, state: { ...state, pointed: { tMs: 9995 } } })?.()
    expect(act.point).toHaveBeenLastCalledWith({ tMs: 10_000 })
  })

  it('space pauses, + and − zoom around the cursor, A and B are set where it stands', () => {
    const act = actions()
    const context = { state, actions: act, onNextFlag: vi.fn() }
    for (const key of [' ', '+', '-', 'a', 'b', 'Enter']) keyAction(press(key), span, context)?.()
    expect(act.togglePause).toHaveBeenCalledTimes(1)
    expect(vi.mocked(act.zoom).mock.calls).toEqual([
      [0.5, 4000],
      [2, 4000],
    ])
    expect(vi.mocked(act.setCursor).mock.calls).toEqual([
      ['a', 4000],
      ['b', 4000],
    ])
    expect(act.place).toHaveBeenCalledWith(4000)
  })

  it('leaves the browser every other key, and every key with Ctrl', () => {
    const context = { state, actions: actions(), onNextFlag: vi.fn() }
    for (const key of ['Tab', 'x', 'F5']) expect(keyAction(press(key), span, context)).toBeNull()
    expect(keyAction(press('a', { ctrlKey: true }), span, context)).toBeNull()
    fc.assert(
      fc.property(fc.constantFrom('ArrowLeft', ' ', '+', 'g', 'Home'), (key) => {
        expect(keyAction(press(key, { ctrlKey: true }), span, context)).toBeNull()
      }),
    )
  })
})
