/** Thermal expansion of a material near 20 °C, 1/K, with where the figure is from. */
export interface Expansion {
  readonly name: string
  readonly perKelvin: number
  readonly source: string
}

const TABLES =
  'engineering tables of linear expansion near 20 °C; alloys differ, use the maker’s figure where there is one'
export const EXPANSIONS: readonly Expansion[] = [
  { name: 'carbon steel', perKelvin: 10.8e-6, source: TABLES },
  { name: 'stainless steel, austenitic', perKelvin: 17.3e-6, source: TABLES },
  { name: 'aluminium', perKelvin: 23.1e-6, source: TABLES },
]

/** How a shaft grows against the frame that holds its ends. */
export interface GrowthInputs {
  /** Between the cells, m. */
  readonly length: number
  /** 1/K, of shaft and frame. */
  readonly shaftExpansion: number
  readonly frameExpansion: number
  /** Warming of each since the fit, K. */
  readonly shaftWarming: number
  readonly frameWarming: number
}

/** Growth of the shaft relative to the frame, m: L (α_r ΔT_r − α_f ΔT_f). Negative when the frame grows more. Source: linear thermal expansion. */
export function shaftGrowth(inputs: GrowthInputs): number {
  return inputs.length * (inputs.shaftExpansion * inputs.shaftWarming - inputs.frameExpansion * inputs.frameWarming)
}

/** Required end clearance, m (1.5 to 3 mm; common practice, no source). */
export const END_CLEARANCE = { least: 0.0015, most: 0.003 } as const

/** The fit of the shaft's ends: clearance of the tighter end, m, and whether both ends really share the growth. */
export interface EndFit {
  readonly clearance: number
  readonly shared: boolean
}

/**
 * Clearance left when the shaft has grown, m: all of it at one end unless the fit shares it. Under 0 the shaft pushes
 * the cells sideways. A frame that grows more opens the ends.
 */
export function clearanceLeft({ clearance, shared }: EndFit, growth: number): number {
  return clearance - (shared ? growth / 2 : growth)
}
