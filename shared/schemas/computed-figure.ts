import { z } from 'zod'
import { figureInput, figureLimit, verdict } from './now.ts'

/**
 * A figure computed from posted data: value, uncertainty, limit and verdict as in `figure`, without a clock.
 *
 * A figure that cannot be told has `value: null` and says why in `waiting`. A figure whose value is known but
 * whose uncertainty is not has `u: null` and the verdict unknown.
 */
export const computedFigure = z.object({
  value: z.number().nullable(),
  unit: z.string(),
  /** Combined standard uncertainty, and its random part alone; same unit. */
  u: z.number().nullable(),
  uRandom: z.number().nullable(),
  /** Expanded uncertainty U = k·u at about 95 %. */
  U: z.number().nullable(),
  k: z.number().nullable(),
  /** Effective degrees of freedom; null when unbounded or without uncertainty. */
  dof: z.number().nullable(),
  limit: figureLimit.nullable(),
  verdict,
  waiting: z.string().nullable(),
  why: z.object({
    formula: z.string(),
    source: z.string(),
    /** With what each does to the figure, where it does anything. */
    inputs: z.array(figureInput.extend({ contribution: z.number().nullable() })),
  }),
})

export type ComputedFigure = z.infer<typeof computedFigure>
