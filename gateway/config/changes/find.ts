import { notThere } from '../../not-there.ts'
import { valueAt } from '../json-schema.ts'

/** Place in its list of the zone or channel with this id. Throws EVP_NOT_FOUND. */
export function indexOfId(value: unknown, list: 'zones' | 'channels', id: string): number {
  const items = valueAt(value, [list])
  const index = Array.isArray(items) ? items.findIndex((item: unknown) => valueAt(item, ['id']) === id) : -1
  if (index >= 0) return index
  throw notThere(list === 'zones' ? 'zone' : 'channel', id)
}
