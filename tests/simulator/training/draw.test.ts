import { describe, expect, it } from 'vitest'
import { FAULT_IDS } from '../../../shared/faults.ts'
import type { ActiveFault } from '../../../simulator/faults/active.ts'
import { FAULTS } from '../../../simulator/faults/registry.ts'
import { canBeFound, draw, hidesNothing } from '../../../simulator/training/draw.ts'
import { LEVELS, levelOf } from '../../../simulator/training/levels.ts'
import { LEFT_AT_MOST, MASKED_PAIRS, runningFigure } from '../../../simulator/training/masked.ts'
import { TRAINING_LINES, trainingLine } from '../../../simulator/training/training-lines.ts'

/** Quick lines: one zone each. */
const QUICK = ['install', 'narrow-foil'].map((id) => trainingLine(id) as NonNullable<ReturnType<typeof trainingLine>>)
const [INSTALL, FOIL] = QUICK as [(typeof QUICK)[number], (typeof QUICK)[number]]

describe('what a level hides', () => {
  it.each(LEVELS)('$id: the same seed hides the same, and it is what the level says', { timeout: 120_000 }, (level) => {
    for (const seed of [1, 2]) {
      const drawn = draw(level, FOIL, seed)
      expect(draw(level, FOIL, seed)).toEqual(drawn)
      expect(drawn.line).toBe(FOIL.id)
      expect([level.faults, level.nothing > 0 ? 0 : level.faults]).toContain(drawn.faults.length)
      for (const { onset } of drawn.faults) expect(onset.kind !== 'constant').toBe(level.comes)
    }
  })

  it('is drawn from a line too, and other seeds hide something else', { timeout: 120_000 }, () => {
    const level = levelOf('one-clear') as (typeof LEVELS)[number]
    const drawn = [11, 12, 13, 14].map((seed) => draw(level, null, seed))
    for (const { line } of drawn) expect(TRAINING_LINES.map(({ id }) => id)).toContain(line)
    expect(new Set(drawn.map((one) => JSON.stringify(one))).size).toBeGreaterThan(1)
  })

  it('may be nothing where the level says so, about as often as it says', () => {
    const level = levelOf('one-ordinary') as (typeof LEVELS)[number]
    const nothing = Array.from({ length: 400 }, (_, seed) => hidesNothing(level, seed)).filter(Boolean).length
    // Binomial, n = 400, p = 0.2: 80 ± 8; five of these on either side.
    expect(Math.abs(nothing - 80)).toBeLessThan(40)
  })

  it('can be found where it is: never a cause that the line cannot show', { timeout: 60_000 }, () => {
    // Laminate at 120 m/min: m v² is 0.4 N of 200 N, which no test on this line can tell.
    const slow: ActiveFault = {
      fault: 'momentum-left-out',
      zone: INSTALL.zones[0] ?? '',
      side: null,
      severity: 50,
      onset: { kind: 'constant' },
    }
    expect(canBeFound(INSTALL, [slow], 1)).toBe(false)
    const paper = trainingLine('fast-paper') as typeof INSTALL
    expect(canBeFound(paper, [{ ...slow, zone: paper.zones[0] ?? '' }], 1)).toBe(true)
  })
})

describe('every cause can be found somewhere by a test that speaks for nothing else', () => {
  it.each(FAULT_IDS)('%s', { timeout: 60_000 }, (id) => {
    const line = id === 'momentum-left-out' ? trainingLine('fast-paper') : INSTALL
    const { sides, severity } = FAULTS[id]
    const fault: ActiveFault = {
      fault: id,
      zone: line?.zones[0] ?? '',
      side: sides === 'one' ? 'operator_side' : null,
      severity: Math.min(severity.most, 2 * severity.typical),
      onset: { kind: 'constant' },
    }
    expect(canBeFound(line as typeof INSTALL, [fault], 3)).toBe(true)
  })
})

describe('two that hide one another', () => {
  it('leave of the running figure less than a quarter of what the first alone does to it', { timeout: 180_000 }, () => {
    const level = levelOf('two-masked') as (typeof LEVELS)[number]
    for (const line of QUICK) {
      for (const seed of [1, 2, 3]) {
        const { faults } = draw(level, line, seed)
        const [first, second] = faults as [ActiveFault, ActiveFault]
        const pair = MASKED_PAIRS.find((one) => one.first === first.fault && one.second === second.fault)
        const at = { zone: first.zone, figure: pair?.figure ?? 'sum' }
        const [sound = 0, alone = 0, other = 0, both = 0] = [[], [first], [second], faults].map((hidden) =>
          runningFigure(line.scenario, hidden, at, seed),
        )
        expect(Math.abs(both - sound)).toBeLessThanOrEqual(LEFT_AT_MOST * Math.abs(alone - sound))
        expect(Math.abs(both - sound)).toBeLessThan(Math.abs(other - sound))
      }
    }
  })
})
