import { type CalibrationContext, resolutionInput } from './context.ts'
import { type CalibrationOutcome, cannot, plainInput } from './figure.ts'
import { leverage, predict } from './prediction.ts'

/**
 * Nonlinearity: the largest distance of a level's mean reading from the least-squares line, in % of span
 * (interpolation error of ISO 376 with a line of the first degree).
 *
 * u² of that distance = σ²·(1/n − h), h the leverage of the level, σ the scatter of a point (JCGM 100, H.3.5; a
 * residual is less uncertain than its reading, because the line follows it). Needs three different forces.
 */
export function nonlinearity(context: CalibrationContext, unit: string): CalibrationOutcome {
  const { levels, points, line, pointScatter, spanReading } = context
  if (levels.length < 3) return cannot(`nonlinearity needs three different forces, ${levels.length} read`)
  let worst = { distance: -1, force: 0, n: 1 }
  for (const { force } of levels) {
    const readings = points.filter((p) => p.force === force).map((p) => p.reading)
    if (readings.length === 0) continue
    const mean = readings.reduce((sum, y) => sum + y, 0) / readings.length
    const distance = Math.abs(mean - predict(line.fit, force).value)
    if (distance > worst.distance) worst = { distance, force, n: readings.length }
  }
  const share = Math.max(0, 1 / worst.n - leverage(line.fit, worst.force))
  const toPercent = 100 / spanReading
  return {
    kind: 'told',
    quantity: {
      value: worst.distance * toPercent,
      uRandom: pointScatter === undefined ? undefined : pointScatter.sd * Math.sqrt(share) * toPercent,
      dof: pointScatter?.dof ?? Number.POSITIVE_INFINITY,
      systematic: resolutionInput(context, unit, toPercent),
      inputs: [plainInput('at force', worst.force, 'N'), plainInput('span', context.spanN, 'N')],
    },
  }
}
