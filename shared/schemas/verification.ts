import { z } from 'zod'
import { who } from './config-write.ts'
import { capture, captureAsk } from './verification/capture.ts'
import { verificationPlan } from './verification/plan.ts'
import { testResult } from './verification/result.ts'
import { testId } from './verification/test-ids.ts'

/**
 * The proof of an install: a plan of tests that fits the zone, and a record that only grows.
 *
 * GET /api/zones/ID/verification-plan gives the plan. A record belongs to one zone; every entry carries who, when
 * and the hash of the entry before it, so that a later change of any of them shows. What a test was judged by stands
 * in its entry (values typed, captures with what the gateway made of them, figures with limits): a record can be read
 * years later without the program. SI but for what a technician measures: mm, degrees, as each unit says.
 */
export const testPhase = z.enum(['as-found', 'as-left'])
const values = z.record(z.string().max(60), z.union([z.number(), z.string().max(2000), z.boolean()]))
const key = z.uuid()

/** What a person adds: the body of POST /api/verifications/ID/entries. The same key again is the same entry. */
export const newEntry = z.discriminatedUnion('kind', [
  z.strictObject({
    kind: z.literal('result'),
    key,
    who,
    test: testId,
    phase: testPhase,
    values,
    captures: z.array(captureAsk).max(60),
  }),
  z.strictObject({ kind: z.literal('not-done'), key, who, test: testId, reason: z.string().trim().min(3).max(500) }),
  z.strictObject({
    kind: z.literal('note'),
    key,
    who,
    test: testId.nullable(),
    text: z.string().trim().min(1).max(2000),
  }),
  z.strictObject({
    kind: z.literal('photo'),
    key,
    who,
    test: testId.nullable(),
    caption: z.string().trim().max(200),
    mediaType: z.enum(['image/jpeg', 'image/png', 'image/webp']),
    /** base64 */
    data: z.string().min(1).max(4_000_000),
  }),
  /** After this only corrections and notes may follow. */
  z.strictObject({ kind: z.literal('signature'), key, who, name: z.string().trim().min(1).max(80) }),
  /** Says what is wrong with an entry before it; that entry stays as it is. */
  z.strictObject({
    kind: z.literal('correction'),
    key,
    who,
    of: z.int().positive(),
    text: z.string().trim().min(3).max(2000),
  }),
])

const chained = {
  /** 1, 2, 3 … within the record. */
  seq: z.int().positive(),
  key: z.string(),
  who: z.string(),
  /** Gateway time, epoch ms. */
  timeMs: z.number(),
  /** SHA-256, hex, of the entry before (of the head for the first) and of this one; see lib/verification/chain.ts. */
  previous: z.string(),
  hash: z.string(),
}

export const recordEntry = z.discriminatedUnion('kind', [
  z.object({
    ...chained,
    kind: z.literal('result'),
    test: testId,
    title: z.string(),
    phase: testPhase,
    /** Counts the results of this test, from 1. */
    attempt: z.int().positive(),
    values,
    captures: z.array(capture),
    result: testResult,
    /** Config in force, and version of the program that judged. */
    revision: z.string(),
    software: z.string(),
  }),
  z.object({ ...chained, kind: z.literal('not-done'), test: testId, title: z.string(), reason: z.string() }),
  z.object({ ...chained, kind: z.literal('note'), test: testId.nullable(), text: z.string() }),
  z.object({
    ...chained,
    kind: z.literal('photo'),
    test: testId.nullable(),
    caption: z.string(),
    mediaType: z.string(),
    bytes: z.int().positive(),
    /** SHA-256 of the picture, hex: the picture itself is kept beside the record. */
    sha256: z.string(),
  }),
  z.object({ ...chained, kind: z.literal('signature'), name: z.string() }),
  z.object({ ...chained, kind: z.literal('correction'), of: z.int().positive(), text: z.string() }),
])

/** What a record is about, fixed when it is begun. */
const recordHead = z.object({
  format: z.literal('evenpull-verification/1'),
  id: z.string(),
  zone: z.string(),
  zoneName: z.string(),
  plant: z.string().nullable(),
  line: z.string().nullable(),
  title: z.string(),
  begunBy: z.string(),
  begunMs: z.number(),
  revision: z.string(),
  software: z.string(),
  /** The plan as it was then, so that what was not done can be told years later. */
  plan: verificationPlan,
  /** Zone, channels and devices as the config had them then: for the reader. */
  config: z.unknown(),
})

export const verificationRecord = z.object({
  head: recordHead,
  entries: z.array(recordEntry),
  /** Hash of the newest entry (of the head while there is none): the digest of the whole. */
  digest: z.string(),
  signed: z.boolean(),
})

export const newVerification = z.strictObject({ key, who, title: z.string().trim().min(1).max(120) })

export const verificationList = z.object({
  records: z.array(
    z.object({
      id: z.string(),
      zone: z.string(),
      title: z.string(),
      begunBy: z.string(),
      begunMs: z.number(),
      changedMs: z.number(),
      entries: z.int().min(0),
      signed: z.boolean(),
      digest: z.string(),
    }),
  ),
})

/** GET /api/verifications/ID/check: whether every hash holds and every photo is there, and where not. */
export const recordCheck = z.object({
  id: z.string(),
  whole: z.boolean(),
  entries: z.int().min(0),
  digest: z.string(),
  /** 0 is the head. */
  broken: z.array(z.object({ seq: z.int().min(0), what: z.string() })),
})

/** GET /api/verifications/ID/entries?after=SEQ */
export const entriesQuery = z.strictObject({ after: z.coerce.number().int().min(0).default(0) })
export const entryList = z.object({ entries: z.array(recordEntry), digest: z.string(), signed: z.boolean() })

/** POST /api/verifications/ID/preview: what a result would say, without keeping it. */
export const previewAsk = z.strictObject({
  test: testId,
  phase: testPhase,
  values,
  captures: z.array(captureAsk).max(60),
})
export const previewResult = z.object({ result: testResult, captures: z.array(capture) })

export type RecordCheck = z.infer<typeof recordCheck>
export type EntryList = z.infer<typeof entryList>
export type TestPhase = z.infer<typeof testPhase>
export type TestValues = z.infer<typeof values>
export type NewEntry = z.infer<typeof newEntry>
export type RecordEntry = z.infer<typeof recordEntry>
export type RecordHead = z.infer<typeof recordHead>
export type VerificationRecord = z.infer<typeof verificationRecord>
export type NewVerification = z.infer<typeof newVerification>
export type VerificationList = z.infer<typeof verificationList>
export type PreviewAsk = z.infer<typeof previewAsk>
export type PreviewResult = z.infer<typeof previewResult>
