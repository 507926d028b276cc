import type { FigureFormula } from './formulas.ts'

/** The parts of expected and of span that make the agreement limit. */
export interface AgreementShares {
  readonly ofExpected: number
  readonly ofSpan: number
  readonly source: string
}

const CP = 'common practice, no source'

/** Against what the geometry and a reference say, and against a known weight. */
export const AGREEMENT_LIMITS = {
  geometry: { ofExpected: 0.05, ofSpan: 0.01, source: CP },
  'known weight': { ofExpected: 0.02, ofSpan: 0.005, source: CP },
} as const satisfies Record<string, AgreementShares>

/** How measured is held against expected, for the reader who asks why. */
export const AGREEMENT_FORMULA: FigureFormula = {
  formula:
    'd = measured − expected; u² = u_random² + Σ of the inputs of both, an input common to both counting once with the difference of its effects; inside when |d| + k·u ≤ limit',
  source:
    'JCGM 100, 5.1.2 and 5.2; guard bands in the spirit of JCGM 106, 8.3; E_n = (y − x)/√(U_y² + U_x²) as in ISO/IEC 17043, for information',
}
