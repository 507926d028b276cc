import { t95 } from '../statistics/student-t.ts'

/** Expanded uncertainty at about 95 %. */
export interface Expansion {
  readonly U: number
  readonly k: number
  /** Effective degrees of freedom; null when unbounded. */
  readonly dof: number | null
}

/** U = k·u with k = t₉₅(ν_eff), and 2 where t₉₅ would be less (JCGM 100, G.4 and 6.3.3). */
export function expandedUncertainty(u: number, dof: number): Expansion {
  const k = Math.max(2, t95(Math.max(1, dof)))
  return { U: k * u, k, dof: Number.isFinite(dof) ? dof : null }
}
