import { z } from 'zod'
import { zoneGeometry } from '../../../shared/schemas/geometry.ts'
import type { Drawing } from './rollers.ts'

/** What was drawn and not yet saved, kept in this browser. */
export interface Draft {
  readonly drawing: Drawing
  /** What it was made from: the file's revision and this zone's geometry in it. */
  readonly baseRevision: string
  readonly base: Drawing | null
  /** Plant and line: a draft of another gateway at the same address is not this zone's. */
  readonly owner: string
  /** Epoch ms of the last change. */
  readonly changedMs: number
}

const stored = z.object({
  drawing: zoneGeometry,
  baseRevision: z.string(),
  base: zoneGeometry.nullable(),
  owner: z.string(),
  changedMs: z.number(),
})

const keyOf = (zone: string): string => `evenpull.geometry.draft.${zone}`

/** The draft kept for a zone; null when there is none, it belongs to another line, or it can no longer be read. */
export function readDraft(zone: string, owner: string): Draft | null {
  try {
    const kept: unknown = JSON.parse(localStorage.getItem(keyOf(zone)) ?? 'null')
    if (!stored.safeParse(kept).success) return null
    // As it was stored, before defaults: a save must not write what nobody typed.
    const draft = kept as Draft
    return draft.owner === owner ? draft : null
  } catch {
    return null
  }
}

/** Keeps a draft; false where this browser keeps nothing. */
export function keepDraft(zone: string, draft: Draft): boolean {
  try {
    localStorage.setItem(keyOf(zone), JSON.stringify(draft))
    return true
  } catch {
    return false
  }
}

export function dropDraft(zone: string): void {
  try {
    localStorage.removeItem(keyOf(zone))
  } catch {
    // Storage is forbidden here: there is nothing to drop.
  }
}
