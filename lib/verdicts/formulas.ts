/** How a figure was got, for the reader who asks why. */
export interface FigureFormula {
  readonly formula: string
  readonly source: string
}

const MEAN_U =
  'u_random from the lowest cosines of the batch means (Lazarus, Lewis, Stock, Watson 2018), combined with the other inputs by JCGM 100'

export const FORMULAS = {
  force: {
    formula: 'F = mean over the window of gain × (reading − zero); u² = u_random² + (F·u_gain)² + u_zero² + step²/12',
    source: MEAN_U,
  },
  tension: {
    formula: 'T_side = F_side / k_side; u² adds (T·u_k/k)². The web’s own momentum m·v² is not added',
    source: `Force balance of the wrapped web; ${MEAN_U}`,
  },
  geometryTension: {
    formula:
      'T_side = F_side / k_side + its part of m·v², k = a·(u_out − u_in) of the web path as it is now; u² adds the side’s own arrow, the web path and m·v²',
    source: `Momentum balance of the wrapped web; ${MEAN_U}`,
  },
  geometryTotal: {
    formula:
      'T = F_DS/k_DS + F_OS/k_OS + m·v² over frames with both sides good (one cell: F/k + m·v²), k = a·(u_out − u_in) of the web path as it is now',
    source: `Momentum balance of the wrapped web; the web path’s uncertainty is common to both sides; ${MEAN_U}`,
  },
  expectedForce: {
    formula:
      'F_side = part of T × k − part of m·v² × k, k = a·(u_out − u_in); T, v and the neighbour are means of the averaging window; u by propagation of every input',
    source: 'Momentum balance of the wrapped web and balance of moments on two cells; JCGM 100, 5.1.2',
  },
  expectedTotal: {
    formula:
      'T of the reference; u² adds what the web path, the arrows and m·v² make of the signals: Σ over the sides of u(F_side)/k_side, input by input',
    source: 'JCGM 100, 5.1.2',
  },
  driftOfResidual: {
    formula:
      'least-squares slope of the batch means of (measured − expected)/expected against time, in % per hour, each frame held against its own speed, reference and neighbour; u from cosines orthogonal to the line',
    source: 'NIST/SEMATECH e-Handbook 4.4.3.1; uncertainty after Müller 2007 and Lazarus, Lewis, Stock, Watson 2018',
  },
  totalForce: {
    formula: 'F = F_DS + F_OS over frames with both sides good (one cell: F)',
    source: MEAN_U,
  },
  totalTension: {
    formula:
      'T = F_DS/k_DS + F_OS/k_OS over frames with both sides good (one cell: F/k). The web’s own momentum m·v² is not added',
    source: `Force balance of the wrapped web; one force factor for both sides counts as common to them; ${MEAN_U}`,
  },
  imbalance: {
    formula: 'I = (F_OS − F_DS)/(F_OS + F_DS) × 100 %; u_random from o − d − I·(o + d), so that common motion cancels',
    source: `Delta method, JCGM 100 5.1.2 and 5.2; gain, zero and force factor of one side independent of the other’s; ${MEAN_U}`,
  },
  lineOfPull: {
    formula: 'e = (T_OS − T_DS)/(T_OS + T_DS) × L/2, towards the operator side',
    source: `Moments about mid-span; without force factors they are taken as equal and forces stand for tensions; ${MEAN_U}`,
  },
  noise: {
    formula:
      '1 σ = √(Σ residual²/Σ(n − 2)) about a straight line in each block, as % of the mean force; u(σ) from the scatter of the blocks’ variances',
    source:
      'Pooled residual variance, NIST/SEMATECH e-Handbook 4.4.3.1; batch means for its uncertainty; ratio by JCGM 100 5.1.2',
  },
  peakToPeak: {
    formula:
      'highest − lowest residual about the straight lines of the blocks in the window; u from gain and resolution: it is what was seen, not an estimate of what may come',
    source: 'common practice, no source',
  },
  driftOfSideDifference: {
    formula:
      'least-squares slope of the side difference of batch means against time, in points per hour; u from cosines orthogonal to the line',
    source: 'NIST/SEMATECH e-Handbook 4.4.3.1; uncertainty after Müller 2007 and Lazarus, Lewis, Stock, Watson 2018',
  },
  rateOfTotal: {
    formula:
      'least-squares slope of the total’s batch means against time, per hour; u from cosines orthogonal to the line',
    source: 'NIST/SEMATECH e-Handbook 4.4.3.1; uncertainty after Müller 2007 and Lazarus, Lewis, Stock, Watson 2018',
  },
  skew: {
    formula: 't(operator side) − t(drive side) of the last frame; u = √(h_DS² + h_OS²)/√3, h half the round trip',
    source: 'Rectangular distribution, JCGM 100 4.3.7',
  },
} as const satisfies Record<string, FigureFormula>
