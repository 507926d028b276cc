/**
 * Units the reader may choose and the units a config may be written in.
 *
 * Everything stored, streamed and computed is SI (N, N/m, m/s, m, °C). Factors are exact by
 * definition: lbf = 0.45359237 kg × 9.80665 m/s², inch = 25.4 mm, foot = 304.8 mm
 * (NIST SP 811 (2008), appendix B; international yard and pound, 1959).
 */
const STANDARD_GRAVITY = 9.80665
const LBF_N = 0.45359237 * STANDARD_GRAVITY
const INCH_M = 0.0254
const FOOT_M = 0.3048

interface LinearUnit {
  /** SI value of one of this unit. */
  readonly factor: number
  /** Added after the factor: SI = value × factor + offset. */
  readonly offset: number
}
const linear = (factor: number, offset = 0): LinearUnit => ({ factor, offset })

export const UNITS = {
  force: { N: linear(1), kN: linear(1000), lbf: linear(LBF_N), kgf: linear(STANDARD_GRAVITY) },
  tensionPerWidth: {
    'N/m': linear(1),
    'lbf/in': linear(LBF_N / INCH_M),
    'kgf/cm': linear(STANDARD_GRAVITY / 0.01),
  },
  speed: { 'm/s': linear(1), 'm/min': linear(1 / 60), 'ft/min': linear(FOOT_M / 60) },
  rotation: { '1/s': linear(1), rpm: linear(1 / 60) },
  temperature: { '°C': linear(1), '°F': linear(5 / 9, (-32 * 5) / 9) },
  length: { m: linear(1), mm: linear(0.001), in: linear(INCH_M), ft: linear(FOOT_M) },
} as const satisfies Record<string, Record<string, LinearUnit>>

export type QuantityKind = keyof typeof UNITS

function unitEntry(kind: QuantityKind, unit: string): LinearUnit {
  const entry = (UNITS[kind] as Record<string, LinearUnit>)[unit]
  if (entry === undefined) throw new RangeError(`${unit} is not a unit of ${kind}`)
  return entry
}

/** SI value of `value` given in `unit`. Throws RangeError on an unknown unit. */
export function toSi(kind: QuantityKind, value: number, unit: string): number {
  const { factor, offset } = unitEntry(kind, unit)
  return value * factor + offset
}

/** `value` (SI) in `unit`. Throws RangeError on an unknown unit. */
export function fromSi(kind: QuantityKind, value: number, unit: string): number {
  const { factor, offset } = unitEntry(kind, unit)
  return (value - offset) / factor
}

/** A difference, spread or uncertainty (SI) in `unit`: the offset does not apply. */
export function differenceFromSi(kind: QuantityKind, value: number, unit: string): number {
  return value / unitEntry(kind, unit).factor
}

/** A difference, spread or uncertainty in `unit` as SI: the offset does not apply. */
export function differenceToSi(kind: QuantityKind, value: number, unit: string): number {
  return value * unitEntry(kind, unit).factor
}
