import { z } from 'zod'
import { positive } from './parts.ts'

/** A limit in its unit, with where it came from. A bare number is the site's own. */
function limit(defaultValue: number, source: string) {
  return z
    .union([
      positive.transform((value) => ({ value, source: 'set in the config' })),
      z.strictObject({ value: positive, source: z.string().min(1) }),
    ])
    .default({ value: defaultValue, source })
}
const CP = 'common practice, no source'

export const limits = z.strictObject({
  side_difference_percent: limit(10, CP).describe('|operator side − drive side| as % of their sum, running'),
  noise_percent: limit(1, CP).describe('1 σ of each side after slow motion is removed, % of its mean'),
  drift_percent_per_hour: limit(0.3, CP).describe('Half the agreement limit spread over an 8 h shift'),
})

/** What an install is proven by; see lib/verification. Handbook habits of the trade where nothing else is known. */
export const verification = z.strictObject({
  arrow_deg: limit(2, CP).describe('Each load arrow against its target'),
  arrow_difference_deg: limit(2, CP).describe('Both load arrows against each other'),
  clearance_least_mm: limit(1.5, CP).describe('End clearance of each side, cold'),
  clearance_most_mm: limit(3, CP).describe('The most that it may be'),
  level_mm_per_m: limit(0.2, CP).describe('Roller out of level, and out of parallel with its neighbour'),
  runout_mm: limit(0.05, CP).describe('Runout of the shell by dial'),
  bridge_percent: limit(1, CP).describe('Bridge resistance against the certificate'),
  insulation_megohm: limit(1000, CP).describe('Bridge to body and shield, at no more than the maker allows'),
  excitation_percent: limit(1, CP).describe('Excitation at the cell against what the amplifier is set to'),
  shunt_percent: limit(0.5, CP).describe('Step of a shunt or bridge simulator against what it should read'),
  static_noise_percent: limit(0.2, CP).describe('1 σ with the machine stopped, % of span'),
  static_slope_percent_per_min: limit(0.1, CP).describe('Slope with the machine stopped, % of span a minute'),
  drive_noise_ratio: limit(2, CP).describe('Noise with the drive enabled over noise without'),
  weight_percent: limit(1, CP).describe('Bare roller against its predicted weight component, % of span'),
  zero_balance_percent: limit(2, CP).describe('Unloaded cell against its certificate, % of rated output'),
  known_weight_percent: limit(2, CP).describe('Gain by known weight'),
  known_weight_difference_percent: limit(5, CP).describe('Side difference under a centred known weight'),
  nonlinearity_percent: limit(0.5, CP).describe('% of span'),
  hysteresis_percent: limit(0.5, CP).describe('% of span'),
  repeatability_percent: limit(0.3, CP).describe('% of span'),
  zero_return_percent: limit(0.2, CP).describe('% of span'),
  agreement_percent: limit(5, CP).describe('Measured less expected, % of expected; at least 1 % of span'),
  sum_change_percent: limit(0.5, CP).describe('Sum of both sides when a weight moves across the roller'),
  difference_slope_percent: limit(2, CP).describe('Movement of the difference against 2F/L'),
  together_percent: limit(10, CP).describe('Response of both sides to one tension step, over one another'),
  delay_ms: limit(50, CP).describe('One side behind the other'),
  resolution_percent: limit(0.1, CP).describe('One step of the reading, % of span'),
  once_per_turn_percent: limit(1, CP).describe('Line of one turn of the measuring roller, % of its force'),
  turn_rate_percent: limit(2, CP).describe('Turn rate of the measuring roller against v/(πD)'),
  zero_with_temperature_percent_per_k: limit(0.05, CP).describe('Zero between two temperatures, % of span a kelvin'),
  core_to_full_percent: limit(5, CP).describe('Agreement near full roll against near core'),
})
