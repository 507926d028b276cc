/** What a user may do, least first; each may do what the one before may. */
export const ROLES = ['view', 'operate', 'engineer'] as const
export type Role = (typeof ROLES)[number]

/**
 * What a route or a control asks for. `anyone`: also who has not logged in. `view` reads; `operate` acknowledges,
 * shelves, notes, zeroes and names baselines; `engineer` changes config, calibration, geometry and users.
 */
export type Need = 'anyone' | Role

/** Whether a role is enough; null: has not logged in. */
export function isEnough(role: Role | null, need: Need): boolean {
  if (need === 'anyone') return true
  return role !== null && ROLES.indexOf(role) >= ROLES.indexOf(need)
}
