import { z } from 'zod'
import type { DeviceHealth } from '../../../shared/schemas/health.ts'
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

/** As many as a person looks at when nothing is known of the device's map. */
const UNPLANNED_COUNT = 10

/**
 * What to read of a device first: the longest range the gateway reads of it anyway, which its map is known to have.
 * More may be typed. Undefined `device` gives an empty choice.
 */
export function plannedQuery(device: DeviceHealth | undefined): TypedQuery {
  const longest = device?.plan.reduce<DeviceHealth['plan'][number] | undefined>(
    (best, request) => (best === undefined || request.count > best.count ? request : best),
    undefined,
  )
  return {
    device: device?.id ?? '',
    unit_id: String(longest?.unitId ?? 1),
    function: String(longest?.function ?? 4),
    address: String(longest?.address ?? 0),
    count: String(Math.min(60, longest?.count ?? UNPLANNED_COUNT)),
  }
}

/** Modbus Application Protocol V1.1b3 §7: the range runs into registers the device does not have. */
const ILLEGAL_DATA_ADDRESS = 2

/** The planned range to read instead, when the device has not all the registers asked for; null when there is none. */
export function readInstead(
  failure: { readonly exceptionCode?: number | undefined },
  asked: TypedQuery,
  device: DeviceHealth | undefined,
): TypedQuery | null {
  if (failure.exceptionCode !== ILLEGAL_DATA_ADDRESS || device === undefined || device.plan.length === 0) return null
  const planned = plannedQuery(device)
  const isAsked = Object.entries(planned).every(([field, text]) => asked[field as QueryField].trim() === text)
  return isAsked ? null : planned
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
