/**
 * Acceleration of gravity, m/s², by latitude (rad) and height over the sea (m): Somigliana's closed formula on the
 * WGS 84 ellipsoid, 9.7803253359 (1 + 0.00193185265241 sin²φ)/√(1 − 0.00669437999013 sin²φ), less 3.086e-6 a metre
 * (free air). Local anomalies reach some 5e-4 m/s².
 * Source: NIMA TR 8350.2 (2000), eq. 4-1 (constants from memory).
 */
export function gravityAt(latitude: number, height: number): number {
  const s2 = Math.sin(latitude) ** 2
  const seaLevel = (9.7803253359 * (1 + 0.00193185265241 * s2)) / Math.sqrt(1 - 0.00669437999013 * s2)
  return seaLevel - 3.086e-6 * height
}

/**
 * Weight along a side's arrow, N: share · W · (a·down). Positive when the arrow leans downward: the
 * bare roller's reading, which zeroing removes.
 *
 * @param weight carried by the cells (roller, and shaft where they carry it too), N
 * @param arrow rad counter-clockwise from +x · @param share of this side
 */
export function weightAlongArrow(weight: number, arrow: number, share: number): number {
  return -share * weight * Math.sin(arrow)
}
