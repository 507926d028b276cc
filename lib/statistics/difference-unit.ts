/**
 * Unit of a difference, a spread or an uncertainty that stands alone, of something told in `unit`: kelvin where that is
 * a temperature in °C, so that no sentence leaves open which of the two is meant. The kelvin and the degree Celsius are
 * one size, and both may bear a difference (SI Brochure, 9th ed., 2.3.1; NIST SP 811 (2008), 8.5); only °C bears a
 * temperature here, and only K a difference.
 */
export const differenceUnit = (unit: string): string => (unit === '°C' ? 'K' : unit)
