import type { FigureFormula } from '../verdicts/formulas.ts'

const INTERVAL =
  'u² = π/3 × long-run variance of what is left over Σ(t − t̄)², so that the interval respects autocorrelation'
const SOURCE =
  'Theil 1950, Sen 1968; long-run variance after Andrews & Monahan 1992, Müller 2007 and Lazarus, Lewis, Stock, Watson 2018'

/** How the rates of a shift were got, for the reader who asks why. */
export const DRIFT_FORMULAS = {
  agreement: {
    formula: `Theil–Sen slope of the minutes' median of (measured − expected)/expected against time, in % an hour, no slope taken across a step; ${INTERVAL}`,
    source: SOURCE,
  },
  sideDifference: {
    formula: `Theil–Sen slope of the minutes' median side difference against time, in points an hour, no slope taken across a step; ${INTERVAL}`,
    source: SOURCE,
  },
  zero: {
    formula: `Theil–Sen slope of the side's force in minutes with a slack web against time, in % of span an hour (in N where the span is not known); ${INTERVAL}`,
    source: SOURCE,
  },
  spanOfTensions: {
    formula:
      'least squares of (measured − expected) on time, expected tension and their product: the product tells how the ratio moves apart from the offset; u from the long-run variance of what is left',
    source: 'NIST/SEMATECH e-Handbook 4.4.3.1; long-run variance as of the other drifts',
  },
  spanOfZero: {
    formula:
      'drift of the agreement less the drift of the zero as a share of the expected tension: what is left is the ratio; u² is the sum of both',
    source: 'JCGM 100, 5.1.2; Theil–Sen slopes as of the other drifts',
  },
} as const satisfies Record<string, FigureFormula>
