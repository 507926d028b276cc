/**
 * Thickness of the air film between a moving web and a roller, m:
 * h = 0.643 R (6 μ (V_w + V_r)/T)^(2/3), the foil-bearing solution for a wide web and a wrap that is not small.
 *
 * @param radius m · @param viscosity of air, Pa·s · @param webSpeed, rollerSpeed m/s (surface)
 * @param tensionPerWidth T − m v² per metre of width, N/m; at or under 0 the web floats: NaN
 * @source Knox & Sweeney, Ind. Eng. Chem. Process Des. Dev. 10 (1971); the coefficient after Eshel & Elrod,
 * J. Basic Eng. 87 (1965) (attributions from memory; 0.64304 was solved anew from the foil-bearing equation)
 */
export function airFilm(
  radius: number,
  viscosity: number,
  webSpeed: number,
  rollerSpeed: number,
  tensionPerWidth: number,
): number {
  if (!(tensionPerWidth > 0)) return Number.NaN
  return 0.643 * radius * ((6 * viscosity * (webSpeed + rollerSpeed)) / tensionPerWidth) ** (2 / 3)
}

/** Of air at 20 °C, Pa·s (engineering tables). */
export const AIR_VISCOSITY_20C = 1.81e-5

/** Film over the combined roughness √(a² + b²) of both faces: under 1 they touch. */
export function filmRatio(film: number, webRoughness: number, rollerRoughness: number): number {
  return film / Math.hypot(webRoughness, rollerRoughness)
}

/** From here on the faces begin to part, and from there on the web floats (common practice, no source). */
export const FILM_PARTS = 1
export const FILM_FLOATS = 3
