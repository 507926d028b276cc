import {
  type ExpectedMessage,
  type ExpectedPoint,
  expectedMessageOf,
  expectedPointOf,
} from '../../shared/protocol/expected.ts'
import { BACKLOG_SECONDS } from '../../shared/protocol/version.ts'
import type { ZoneNow } from '../../shared/schemas/now.ts'

/** One point a second; pictures come about four times as often. */
const EVERY_MS = 950

/** What was expected of each zone as long as its samples are kept, as each picture told it. */
export class ExpectedBacklog {
  readonly #zones = new Map<string, ExpectedPoint[]>()

  note(zones: readonly ZoneNow[]): void {
    for (const now of zones) {
      const point = expectedPointOf(now)
      if (point !== undefined) this.#add(now.zone, point)
    }
  }

  forget(zone: string): void {
    this.#zones.delete(zone)
  }

  /** Undefined where nothing was ever expected. */
  messageOf(zone: string): ExpectedMessage | undefined {
    const points = this.#zones.get(zone)
    return points === undefined ? undefined : expectedMessageOf(zone, points)
  }

  #add(zone: string, point: ExpectedPoint): void {
    const points = this.#zones.get(zone) ?? []
    const last = points.at(-1)
    // A change from something to nothing, or back, is never passed over: a gap keeps its edges.
    const isChange = ((last?.at ?? null) === null) !== (point.at === null)
    if (last !== undefined && (point.tMs <= last.tMs || (point.tMs - last.tMs < EVERY_MS && !isChange))) return
    points.push(point)
    const oldestMs = point.tMs - BACKLOG_SECONDS * 1000
    while ((points[0]?.tMs ?? oldestMs) < oldestMs) points.shift()
    this.#zones.set(zone, points)
  }
}
