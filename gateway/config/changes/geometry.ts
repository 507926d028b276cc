import type { GeometryConfigInput } from '../../../shared/schemas/geometry.ts'
import { type KeyEdit, keyEdits } from '../edit/key-edits.ts'
import { valueAt } from '../json-schema.ts'
import { indexOfId } from './find.ts'

/** Edits that give a zone this geometry, or take it out; comments between what stays, stay. */
export function geometryEdits(value: unknown, zone: string, geometry: GeometryConfigInput | null): KeyEdit[] {
  const path = ['zones', indexOfId(value, 'zones', zone), 'geometry']
  return keyEdits(valueAt(value, path), geometry ?? undefined, path)
}
