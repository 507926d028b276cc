import { z } from 'zod'
import type { Side } from '../sample.ts'
import type { ZoneNow } from '../schemas/now.ts'

/** What was expected of each side at one time: force along the arrow, N, ± U. */
export interface ExpectedPoint {
  readonly tMs: number
  /** Null where nothing could be expected: a gap stays a gap. */
  readonly at: Readonly<Partial<Record<Side, { readonly value: number; readonly U: number }>>> | null
}

/** What a picture expected of the zone's sides; undefined for a zone without geometry. */
export function expectedPointOf(now: Pick<ZoneNow, 'timeMs' | 'sides' | 'agreement'>): ExpectedPoint | undefined {
  if (now.agreement === undefined) return undefined
  const sides = Object.entries(now.sides).flatMap(([side, { expected }]) =>
    expected?.value == null || expected.U === null ? [] : [[side, { value: expected.value, U: expected.U }] as const],
  )
  return { tMs: now.timeMs, at: sides.length === 0 ? null : Object.fromEntries(sides) }
}

const orNull = z.array(z.number().nullable())

/** What was expected while the backlog was sampled, one point a second, as columns: told once, on `subscribe`. */
export const expectedMessage = z.object({
  type: z.literal('expected'),
  zone: z.string(),
  timesMs: z.array(z.number()),
  sides: z.partialRecord(z.enum(['drive_side', 'operator_side', 'single']), z.object({ value: orNull, U: orNull })),
})
export type ExpectedMessage = z.infer<typeof expectedMessage>

/** Six digits are more than any force is known to. */
const rounded = (value: number | undefined): number | null =>
  value === undefined ? null : Number(value.toPrecision(6))

export function expectedMessageOf(zone: string, points: readonly ExpectedPoint[]): ExpectedMessage {
  const names = [...new Set(points.flatMap(({ at }) => Object.keys(at ?? {}) as Side[]))]
  return {
    type: 'expected',
    zone,
    timesMs: points.map(({ tMs }) => Math.round(tMs)),
    sides: Object.fromEntries(
      names.map((side) => [
        side,
        {
          value: points.map(({ at }) => rounded(at?.[side]?.value)),
          U: points.map(({ at }) => rounded(at?.[side]?.U)),
        },
      ]),
    ),
  }
}

/** The points again; columns that are too short hold nothing there. */
export function expectedPointsOf({ timesMs, sides }: ExpectedMessage): ExpectedPoint[] {
  const columns = Object.entries(sides)
  return timesMs.map((tMs, i) => {
    const at = columns.flatMap(([side, column]) => {
      const [value, U] = [column?.value[i], column?.U[i]]
      return value == null || U == null ? [] : [[side, { value, U }] as const]
    })
    return { tMs, at: at.length === 0 ? null : Object.fromEntries(at) }
  })
}
