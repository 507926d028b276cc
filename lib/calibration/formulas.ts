import type { FigureFormula } from '../verdicts/formulas.ts'

/** The documents named were not at hand: terms from memory, except OIML R 60 table 4 (secondary) and JCGM 100. */
const MEMORY = 'from memory, no document seen'

export const CALIBRATION_FORMULAS = {
  gain: {
    formula:
      'gain = 1/b of the least-squares line reading = a + b·F through the means of up and down; u² = (gain·u(b)/b)² + Σ(gain·u(F)/F)² + direction and resolution',
    source: 'JCGM 100, H.3 and 5.1.2; lack of fit by NIST/SEMATECH e-Handbook 4.4.4.6',
  },
  gainDifference: {
    formula: 'found/expected − 1, in %; both gains with their uncertainties',
    source: 'JCGM 100, 5.1.6',
  },
  zero: {
    formula: 'zero = a of the least-squares line reading = a + b·F: the reading with the bare roller',
    source: 'JCGM 100, H.3',
  },
  nonlinearity: {
    formula: 'largest |mean reading at a force − line| over b·span, in %; line by least squares, up and down meaned',
    source: `Interpolation error of ISO 376, with a line of the first degree and in % of span; ${MEMORY}`,
  },
  hysteresis: {
    formula:
      'largest |up − down| at one force over b·span, in %, meaned over the cycles; it holds the friction of rope and bearings as well as the hysteresis of the cell',
    source: `Hysteresis error of OIML R 60 (reversibility of ISO 376, which is relative to the reading); ${MEMORY}`,
  },
  halfDifference: {
    formula: 'Σ(F·(up − down)/2)/ΣF² over b, in % of the force: friction of rope and bearings plus hysteresis',
    source: 'Capstan equation: friction in proportion to the pull (Beer & Johnston, Vector Mechanics: Statics)',
  },
  repeatability: {
    formula:
      'largest highest − lowest reading at one force and direction over the cycles, over b·span, in %; it is what was seen, not an estimate of what may come',
    source: `Repeatability error of OIML R 60; ${MEMORY}`,
  },
  zeroReturn: {
    formula: 'largest |zero after − zero before| of a cycle over b·span, in %',
    source: `Zero error of ISO 376, minimum dead load output return of OIML R 60; ${MEMORY}`,
  },
  bow: {
    formula:
      'sagitta of a parabola fitted to the same points, a₂·R²/4 over b·span, in %: what the residuals of the line still hold',
    source: 'NIST/SEMATECH e-Handbook 4.6.1 (load-cell calibration)',
  },
  creep5min: {
    formula: '(reading at 300 s − reading at 30 s) over b·span, in %, under a constant force',
    source: `Creep of ISO 376 (30 s and 300 s), in % of span; ${MEMORY}`,
  },
  creep30min: {
    formula: 'largest |reading − first reading| within 30 min over b·span, in %, under a constant force',
    source: `Creep of OIML R 60, in % of span; ${MEMORY}`,
  },
  creepLast: {
    formula: '|reading at 30 min − reading at 20 min| over b·span, in %, under a constant force',
    source: `Creep of OIML R 60, 20 to 30 min, in % of span; ${MEMORY}`,
  },
  sumMovement: {
    formula:
      'least-squares slope of F_DS + F_OS against the position of the rope × the distance between its outermost positions, over the mean sum, in %',
    source: 'Moments about mid-span: the sum does not depend on the position; JCGM 100, H.3 for u',
  },
  differenceSlope: {
    formula: 'slope of F_OS − F_DS against the position over 2F/L, less 1, in %',
    source: 'Moments about mid-span: F_OS − F_DS = 2·F·e/L; JCGM 100, H.3 for u',
  },
  imbalanceSlope: {
    formula: 'slope of (F_OS − F_DS)/(F_OS + F_DS) against the position over 2/L, less 1, in %',
    source: 'Moments about mid-span: imbalance = 2·e/L; JCGM 100, H.3 for u',
  },
} as const satisfies Record<string, FigureFormula>
