import { z } from 'zod'
import { zoneGeometry } from './geometry.ts'

/**
 * Changing the config from a page, and what was changed before.
 *
 * A change names the revision it was made from. Where the file has changed since, it is refused
 * (EVP_CONFIG_CHANGED, 409) and nothing is written; where the file cannot be written, likewise
 * (EVP_CONFIG_WRITE, 503). A change that the config's rules refuse is 422 with their code. Every
 * change that is written becomes a revision.
 *
 * Nothing here ever reaches a field device.
 */

/** First 12 hex digits of the SHA-256 of the config's text. */
const revisionId = z.string().regex(/^[0-9a-f]{12}$/, 'expected the 12 hex digits of a revision')

/** Line ends, other control characters and marks that turn the direction of text would disguise a name. */
const DISGUISES = /[\p{Cc}\p{Cf}\p{Zl}\p{Zp}]/u

/** Who answers for a change, as typed: there is no log-in yet. */
export const who = z
  .string()
  .trim()
  .min(1, 'say who makes the change')
  .max(60)
  .refine((name) => !DISGUISES.test(name), 'control characters are not part of a name')

const changeBase = { who, baseRevision: revisionId }

// --- geometry --------------------------------------------------------------

/** A cell of a zone, as its channel in the config has it. */
const cellFacts = z.object({
  channel: z.string(),
  name: z.string(),
  capacityN: z.number(),
  /** Unit of the reading that zero and gain are given for; null: raw counts. */
  electricalUnit: z.enum(['mA', 'V', 'mV/V']).nullable(),
  /** Reading with the bare roller. */
  zero: z.number(),
  /** Newtons per unit of the reading. */
  gainN: z.number(),
  /** Standard uncertainties: of the gain in %, of the zero in % of capacity. */
  uGainPercent: z.number(),
  uZeroPercent: z.number(),
  /** Lowest and highest reading that the counts stand for; null without an electrical scale. */
  range: z.tuple([z.number(), z.number()]).nullable(),
  /** One step of the reading; null where the register is no whole number, or not known. */
  step: z.number().nullable(),
})

const zoneFacts = z.object({
  id: z.string(),
  name: z.string(),
  cellDistanceM: z.number().nullable(),
  webWidthM: z.number().nullable(),
  /** Centre of the web from mid-span, towards the operator side. */
  webOffsetM: z.number(),
  /** The force_factor of the config by side; null without. */
  forceFactor: z.record(z.string(), z.number()).nullable(),
  /** By side: drive_side and operator_side, or single. */
  cells: z.record(z.string(), cellFacts),
})

/** GET /api/zones/{id}/geometry */
export const geometryView = z.object({
  /** As written in the config; null when the zone has none. */
  geometry: zoneGeometry.nullable(),
  revision: revisionId,
  zone: zoneFacts,
})

/** PUT /api/zones/{id}/geometry; null takes the geometry out of the config. */
export const geometryChange = z.strictObject({ ...changeBase, geometry: zoneGeometry.nullable() })

/** What a written change answers: the revision now in the file. Equal to baseRevision when nothing had to change. */
export const changeWritten = z.object({ revision: revisionId })

// --- calibration -----------------------------------------------------------

const text = (max: number) => z.string().max(max)

/** One reading of a calibration, as captured. */
const calibrationPoint = z.strictObject({
  cycle: z.int().min(1).max(99),
  direction: z.enum(['up', 'down']),
  /** What hung on the rope, in the unit it was typed in; 0 for the bare roller. */
  mass: z.number().min(0),
  massUnit: z.enum(['kg', 'lb']),
  /** Known force along this cell's arrow. */
  forceN: z.number(),
  /** Mean reading and its standard uncertainty, in the unit of the record. */
  reading: z.number(),
  u: z.number().min(0),
  samples: z.int().min(1),
  seconds: z.number().min(0),
  /** Epoch ms of the end of the capture. */
  timeMs: z.number(),
  /** false: retaken; listed, but not in the fit. */
  used: z.boolean(),
})

/** What stands behind a zero or a gain. Kept with the revision, not in the config. */
export const calibrationRecord = z.strictObject({
  kind: z.enum(['zero', 'known weights']),
  unit: text(10),
  points: z.array(calibrationPoint).min(1).max(500),
  /** Figures as the gateway computed them and the set-up they were computed from; absent for a zero alone. */
  fit: z.record(text(60), z.unknown()).optional(),
  setUp: z.record(text(60), z.unknown()).optional(),
  note: text(2000).optional(),
})

/** POST /api/channels/{id}/calibration: take a zero, a gain, or both into the config. */
export const calibrationChange = z
  .strictObject({
    ...changeBase,
    /** Reading with the bare roller, in the channel's electrical unit. */
    zero: z.number().optional(),
    uZeroPercent: z.number().min(0).max(100).optional(),
    /** Newtons per electrical unit; the gateway writes it in the channel's force unit. */
    gainN: z
      .number()
      .refine((gain) => gain !== 0, 'a gain of 0 would hide every force')
      .optional(),
    uGainPercent: z.number().min(0).max(100).optional(),
    record: calibrationRecord,
  })
  .refine(({ zero, gainN }) => zero !== undefined || gainN !== undefined, 'expected a zero, a gain or both')

// --- revisions -------------------------------------------------------------

/** One key that a revision changed; a key that was not there, or is gone, has no before, or no after. */
const keyChange = z.object({
  /** The key in words: `channel drive-cell: force: zero`. */
  key: z.string(),
  before: z.unknown().optional(),
  after: z.unknown().optional(),
})

const revisionAction = z.enum(['first seen', 'edited by hand', 'geometry', 'zero', 'calibration'])

export const revisionEntry = z.object({
  revision: revisionId,
  /** The revision before it; null for the first. */
  previous: revisionId.nullable(),
  timeMs: z.number(),
  /** null where nobody signed: an edit by hand. */
  who: z.string().nullable(),
  action: revisionAction,
  /** What changed, in a sentence. */
  words: z.string(),
  changes: z.array(keyChange),
  /** Of the whole text. */
  sha256: z.string().regex(/^[0-9a-f]{64}$/),
  /** What stands behind a zero or a calibration. */
  record: calibrationRecord.nullable(),
})

/** GET /api/revisions?limit=: newest first. */
export const revisionQuery = z.strictObject({ limit: z.coerce.number().int().min(1).max(500).default(50) })
export const revisionList = z.object({
  /** Of the file in force. */
  current: revisionId,
  revisions: z.array(revisionEntry),
  /** How many there are in all. */
  total: z.number(),
})

export type CellFacts = z.infer<typeof cellFacts>
export type ZoneFacts = z.infer<typeof zoneFacts>
/** With the geometry as written, before defaults. */
export type GeometryView = z.input<typeof geometryView>
export type GeometryChangeInput = z.input<typeof geometryChange>
export type ChangeWritten = z.infer<typeof changeWritten>
export type CalibrationRecord = z.infer<typeof calibrationRecord>
export type CalibrationChange = z.output<typeof calibrationChange>
export type CalibrationChangeInput = z.input<typeof calibrationChange>
export type KeyChange = z.infer<typeof keyChange>
export type RevisionAction = z.infer<typeof revisionAction>
export type RevisionEntry = z.infer<typeof revisionEntry>
export type RevisionList = z.infer<typeof revisionList>
