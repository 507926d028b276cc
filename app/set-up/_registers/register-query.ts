import { z } from 'zod'
import { type RegisterViewQuery, registerViewQuery } from '../../../shared/schemas/register-view.ts'

/** The form as typed: kept as text, so that a refused entry stays as it was. */
export interface TypedQuery {
  readonly device: string
  readonly unit_id: string
  readonly function: string
  readonly address: string
  readonly count: string
}

export type QueryField = keyof TypedQuery

export type CheckedQuery =
  | { readonly ok: true; readonly query: RegisterViewQuery }
  | { readonly ok: false; readonly errors: Readonly<Partial<Record<QueryField, string>>> }

const LIMITS: Record<QueryField, string> = {
  device: 'Choose a device.',
  unit_id: 'A whole number from 0 to 255.',
  function: 'Holding (3) or input (4) registers.',
  address: 'A whole number from 0 to 65535: the address on the wire, counted from 0.',
  count: 'A whole number from 1 to 60.',
}

const digits = z
  .string()
  .trim()
  .regex(/^\d{1,6}$/)

/** Checks what was typed against the contract; every field that does not fit says what would. */
export function checkQuery(typed: TypedQuery): CheckedQuery {
  const errors: Partial<Record<QueryField, string>> = {}
  for (const field of ['unit_id', 'address', 'count'] as const) {
    if (!digits.safeParse(typed[field]).success) errors[field] = LIMITS[field]
  }
  const parsed = registerViewQuery.safeParse(typed)
  if (!parsed.success) {
    for (const issue of parsed.error.issues) {
      const field = issue.path[0] as QueryField
      errors[field] = LIMITS[field]
    }
  } else if (errors.address === undefined && parsed.data.address + parsed.data.count > 65_536) {
    errors.count = `Only ${65_536 - parsed.data.address} registers are left after that address.`
  }
  if (Object.keys(errors).length > 0 || !parsed.success) return { ok: false, errors }
  return { ok: true, query: parsed.data }
}

/** Path and query of the request. */
export function registersUrl(query: RegisterViewQuery): string {
  const parameters = new URLSearchParams({
    device: query.device,
    unit_id: String(query.unit_id),
    function: String(query.function),
    address: String(query.address),
    count: String(query.count),
  })
  return `/api/registers?${parameters}`
}
