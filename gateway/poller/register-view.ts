import { registerRows } from '../../lib/codec/register-rows.ts'
import type { RegisterView, RegisterViewQuery } from '../../shared/schemas/register-view.ts'
import type { Polling } from './types.ts'

/** A range of registers read once, in every type and order. Rejects as the polling does. */
export async function registerViewOf(
  polling: Pick<Polling, 'readRegisters'>,
  query: RegisterViewQuery,
): Promise<RegisterView> {
  const { words, timeMs, roundTripMs } = await polling.readRegisters(query)
  const { device, unit_id: unitId, function: fn, address, count } = query
  return { device, unitId, function: fn, address, count, timeMs, roundTripMs, rows: registerRows(words, fn, address) }
}
