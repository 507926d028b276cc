import type { Capture, CaptureAsk } from '../../../shared/schemas/verification/capture.ts'
import { momentumTerm } from '../../geometry/resultant.ts'
import { expectedOrNull, type VerificationContext } from '../context.ts'
import { meanOf, type Told } from './means.ts'
import { movementOf } from './movement.ts'
import { type CapturedRows, goodOf } from './rows.ts'
import { capturedSide } from './side.ts'
import { traceOf } from './trace.ts'

/**
 * What a stretch of a zone's recorded samples says, out of its good samples alone. Nothing good gives nulls, never 0.
 * @param lines of the spectrum over the same stretch; none where it was too short for one
 */
export function captureFacts(
  context: VerificationContext,
  ask: CaptureAsk,
  rows: CapturedRows,
  lines: Capture['lines'],
): Capture {
  const { sides } = context
  const facts = sides.map((side) => [side, capturedSide(context, rows, side)] as const)
  const channel = (column: string): Told | null => {
    const { tMs, values } = goodOf(rows, column)
    return meanOf(tMs, values)
  }
  const speed = channel('speed')
  const reference = channel('reference')
  const total = totalOf(context, rows, speed)
  const expected =
    context.geometry === null
      ? null
      : (reference ?? (context.zone.reference === undefined ? { value: context.geometry.typedTension, u: 0 } : null))
  return {
    ...ask,
    revision: rows.revision,
    sides: Object.fromEntries(facts),
    total,
    imbalance: imbalanceOf(rows),
    residual:
      total === null || expected === null
        ? null
        : { value: total.value - expected.value, u: Math.hypot(total.u, expected.u) },
    expected,
    speed,
    reference,
    temperature: channel('temperature'),
    neighbour: channel('neighbour'),
    rollerSpeed: channel('roller_speed'),
    lines,
    change: Object.fromEntries(
      facts.map(([side, { step }]) => [side, movementOf(goodOf(rows, side), ask.fromMs, step ?? 0)]),
    ),
    trace: traceOf(rows, sides, ask.fromMs, ask.toMs),
  }
}

/** Web tension where the force factors are known, else the forces added up; random uncertainty alone. */
function totalOf(context: VerificationContext, rows: CapturedRows, speed: Told | null): Told | null {
  const expected = expectedOrNull(context)
  const { force_factor: typed } = context.zone
  const factorOf = (side: string): number => {
    const told = (expected?.sides as Record<string, { forceFactor: number }> | undefined)?.[side]?.forceFactor
    if (told !== undefined) return told
    if (typed === undefined) return 1
    return typeof typed === 'number' ? typed : (typed[side as 'drive_side'] ?? 1)
  }
  const sum = combined(rows, context.sides, (values) =>
    values.reduce((all, value, i) => all + value / factorOf(context.sides[i] ?? ''), 0),
  )
  if (sum === null) return null
  const web = context.geometry?.geometry.web
  const momentum = web === undefined || speed === null ? 0 : momentumTerm(web.basisWeight * web.width, speed.value)
  return { value: sum.value + momentum, u: sum.u }
}

/** (operator − drive)/(operator + drive) of the means, %; its random part from o − d − I (o + d), so that common motion cancels. */
function imbalanceOf(rows: CapturedRows): Told | null {
  if (!rows.columns.includes('drive_side')) return null
  const sides = ['drive_side', 'operator_side'] as const
  const difference = combined(rows, sides, ([d = 0, o = 0]) => o - d)
  const sum = combined(rows, sides, ([d = 0, o = 0]) => o + d)
  if (difference === null || sum === null || sum.value === 0) return null
  const share = difference.value / sum.value
  const rest = combined(rows, sides, ([d = 0, o = 0]) => o - d - share * (o + d))
  return rest === null ? null : { value: 100 * share, u: (100 * rest.u) / Math.abs(sum.value) }
}

/** Mean of something of rows in which every side is good. */
function combined(
  rows: CapturedRows,
  sides: readonly string[],
  of: (values: readonly number[]) => number,
): Told | null {
  const at = sides.map((side) => rows.columns.indexOf(side))
  const tMs: number[] = []
  const values: number[] = []
  for (let i = 0; i < rows.timesMs.length; i += 1) {
    const each = at.map((column) =>
      rows.codes[column]?.[i] === 0 ? (rows.values[column]?.[i] ?? Number.NaN) : Number.NaN,
    )
    if (!each.every(Number.isFinite)) continue
    tMs.push(rows.timesMs[i] ?? 0)
    values.push(of(each))
  }
  return meanOf(tMs, values)
}
