/**
 * Permissible residual unbalance of a rotor, kg·m: G·m/ω with the balance grade G in m/s (G 6.3 is 0.0063 m/s).
 * In workshop units 9549 G m/n g·mm with G in mm/s, m in kg, n in 1/min. Source: ISO 21940-11:2016 (formerly ISO 1940-1).
 */
export const permissibleUnbalance = (grade: number, mass: number, turnRate: number): number =>
  (grade * mass) / (2 * Math.PI * turnRate)

/** Amplitude of the force of an unbalance at a turn rate, N: U·ω²; it grows with the square of the speed. */
export const unbalanceForce = (unbalance: number, turnRate: number): number => unbalance * (2 * Math.PI * turnRate) ** 2
