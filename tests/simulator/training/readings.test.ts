import { describe, expect, it } from 'vitest'
import type { Reading } from '../../../simulator/technician/act.ts'
import { strongestLine } from '../../../simulator/training/lines.ts'
import { moments } from '../../../simulator/training/look.ts'
import { compared } from '../../../simulator/training/twins.ts'

const read = (value: number, u: number): Reading => ({ figure: 'gap', value, unit: 'mm', u })

describe('a reading beside its twin', () => {
  it('differs when both are further apart than twice the uncertainty of the difference, and not otherwise', () => {
    // √(0.03² + 0.04²) = 0.05: apart by 0.099 is not more than 2 u, by 0.101 is.
    expect(compared([read(2.099, 0.03)], [read(2, 0.04)])[0]).toMatchObject({ differs: false })
    expect(compared([read(2.101, 0.03)], [read(2, 0.04)])[0]).toMatchObject({ differs: true, found: 2.101, sound: 2 })
    expect(compared([read(2.101, 0.03)], [read(2, 0.04)])[0]?.u).toBeCloseTo(0.05, 12)
  })

  it('that is seen and not measured differs when it is another', () => {
    const seen = (value: boolean): Reading => ({ figure: 'free-play', value, unit: null, u: null })
    expect(compared([seen(false)], [seen(true)])[0]?.differs).toBe(true)
    expect(compared([seen(true)], [seen(true)])[0]?.differs).toBe(false)
  })

  it('that only one of both has differs: there was nothing to read', () => {
    expect(compared([], [read(2, 0.1)])).toMatchObject([{ found: 'nothing to read', sound: 2, differs: true }])
    expect(compared([read(2, 0.1)], [])).toMatchObject([{ found: 2, sound: 'nothing to read', differs: true }])
  })

  it('read again in one test is held against the same reading again', () => {
    const twice = [read(1, 0.01), read(2, 0.01)]
    expect(compared(twice, twice).map(({ differs }) => differs)).toEqual([false, false])
  })
})

describe('what a look tells', () => {
  it('spread is about a straight line: a steady rise has none', () => {
    const { mean, spread } = moments([1, 2, 3, 4, 5])
    expect(mean).toBe(3)
    expect(spread).toBeCloseTo(0, 12)
    // Residuals of 0 1 0 about its line are -1/3 2/3 -1/3: √(6/9/(3−2)).
    expect(moments([0, 1, 0]).spread).toBeCloseTo(Math.sqrt(6 / 9), 12)
  })

  it('a sine is found with its rate and amplitude, and stands above what is beside it', () => {
    const sine = Array.from({ length: 1000 }, (_, i) => 0.02 * Math.sin((2 * Math.PI * 7.3 * i) / 100 + 1))
    const line = strongestLine(sine, 100, 6, 9)
    expect(line.stands).toBe(true)
    expect(Math.abs(line.hz - 7.3)).toBeLessThan(2 * line.uHz)
    expect(Math.abs(line.amplitude - 0.02)).toBeLessThan(2 * line.uAmplitude)
  })

  it('where nothing moves no line stands', () => {
    expect(strongestLine(new Array<number>(500).fill(1.2), 100, 6, 9)).toMatchObject({ stands: false })
  })
})
