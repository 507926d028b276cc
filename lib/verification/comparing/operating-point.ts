/** Where a running web was measured; null where nothing told it. */
export interface OperatingPoint {
  /** m/min */
  readonly speed: number | null
  /** N */
  readonly tension: number | null
}

const POINT = /^(?:([\d.]+) m\/min|speed not told)(?:, (-?[\d.]+) N)?$/

/** The numbers of a figure's point, as records name it: "120 m/min, 250 N", "120 m/min". undefined for any other words. */
export function operatingPoint(point: string): OperatingPoint | undefined {
  const found = POINT.exec(point)
  if (found === null) return undefined
  const [, speed, tension] = found
  return { speed: numberOf(speed), tension: numberOf(tension) }
}

const numberOf = (text: string | undefined): number | null => (text === undefined ? null : Number(text))

/** How far two points lie apart, as the largest relative difference of what they tell; Infinity where they do not tell the same. */
export function apart(a: OperatingPoint, b: OperatingPoint): number {
  const [speed, tension] = [relative(a.speed, b.speed), relative(a.tension, b.tension)]
  if (speed === null && tension === null) return Number.POSITIVE_INFINITY
  return Math.max(speed ?? 0, tension ?? 0)
}

/** null where neither is told. */
function relative(a: number | null, b: number | null): number | null {
  if (a === null && b === null) return null
  if (a === null || b === null) return Number.POSITIVE_INFINITY
  return a === b ? 0 : Math.abs(a - b) / Math.max(Math.abs(a), Math.abs(b))
}
