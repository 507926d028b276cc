import { verificationPlan } from '../../../shared/schemas/verification/plan.ts'
import {
  entriesQuery,
  entryList,
  newEntry,
  newVerification,
  previewAsk,
  previewResult,
  recordCheck,
  recordEntry,
  verificationList,
  verificationRecord,
} from '../../../shared/schemas/verification.ts'
import { defineRoute, noQuery } from '../define-route.ts'
import { type Route, WithHeaders } from '../route.ts'
import {
  EXAMPLE_RECORD_ID,
  exampleCheck,
  exampleEntries,
  exampleEntry,
  exampleNewEntry,
  exampleNewVerification,
  examplePlan,
  examplePreview,
  examplePreviewAsk,
  exampleRecord,
  exampleVerifications,
} from '../verification-examples.ts'

const ZONE = { name: 'id', description: 'Id of the zone, as in /api/zones', example: examplePlan.zone }
export const RECORD = { name: 'id', description: 'Id of the record', example: EXAMPLE_RECORD_ID }
const OFF = { 503: 'Recording is off or has stopped; nothing was kept.' }
const NO_ZONE = { 404: 'No such zone.', ...OFF }
export const NO_RECORD = { 404: 'No such record.', ...OFF }
/** A photo of 3 MB as base64, and everything else many times over. */
const MOST_ENTRY_BYTES = 4_200_000
const MOST_BYTES = 256 * 1024

/** The plan, the records and what is added to them. */
export const verificationRoutes: readonly Route[] = [
  defineRoute({
    method: 'GET',
    path: '/api/zones/{id}/verification-plan',
    summary: 'The tests that prove an install, as they fit this zone',
    needs: 'view',
    parameters: [ZONE],
    query: noQuery,
    queryExample: {},
    response: {
      kind: 'json',
      description: 'Stages, tests, fields, captures, limits.',
      schema: verificationPlan,
      example: examplePlan,
    },
    refusals: { 404: 'No such zone.' },
    perSecond: null,
    handle: ({ params, sources }) => sources.verifications.plan(params.id ?? ''),
  }),
  defineRoute({
    method: 'GET',
    path: '/api/zones/{id}/verifications',
    summary: 'The verification records of a zone, newest first',
    needs: 'view',
    parameters: [ZONE],
    query: noQuery,
    queryExample: {},
    response: {
      kind: 'json',
      description: 'A line a record.',
      schema: verificationList,
      example: exampleVerifications,
    },
    refusals: NO_ZONE,
    perSecond: null,
    handle: ({ params, sources }) => sources.verifications.list(params.id ?? ''),
  }),
  defineRoute({
    method: 'POST',
    path: '/api/zones/{id}/verifications',
    summary: 'Begin a verification record',
    needs: 'operate',
    parameters: [ZONE],
    query: noQuery,
    queryExample: {},
    body: {
      description: 'Who, and what it is about; the same key again is the same record.',
      schema: newVerification,
      maxBytes: MOST_BYTES,
      example: exampleNewVerification,
    },
    response: {
      kind: 'json',
      description: 'The record, once it is on the disk.',
      schema: verificationRecord,
      example: exampleRecord,
    },
    refusals: { ...NO_ZONE, 409: 'The key is that of another record.' },
    perSecond: 5,
    handle: ({ params, body, sources }) => sources.verifications.begin(params.id ?? '', body),
  }),
  defineRoute({
    method: 'GET',
    path: '/api/verifications/{id}',
    summary: 'A verification record with every entry',
    needs: 'view',
    parameters: [RECORD],
    query: noQuery,
    queryExample: {},
    response: {
      kind: 'json',
      description: 'Head, entries and digest.',
      schema: verificationRecord,
      example: exampleRecord,
    },
    refusals: NO_RECORD,
    perSecond: null,
    handle: ({ params, sources }) => sources.verifications.record(params.id ?? ''),
  }),
  defineRoute({
    method: 'GET',
    path: '/api/verifications/{id}/entries',
    summary: 'What was added to a record after an entry: how two devices see one another',
    needs: 'view',
    parameters: [RECORD],
    query: entriesQuery,
    queryExample: { after: 0 },
    response: { kind: 'json', description: 'Entries of a larger number.', schema: entryList, example: exampleEntries },
    refusals: NO_RECORD,
    perSecond: null,
    handle: ({ params, query, sources }) => sources.verifications.entries(params.id ?? '', query.after),
  }),
  defineRoute({
    method: 'POST',
    path: '/api/verifications/{id}/entries',
    summary: 'Add to a record: a result, a reason for not doing a test, a note, a photo, a signature, a correction',
    needs: 'operate',
    parameters: [RECORD],
    query: noQuery,
    queryExample: {},
    body: {
      description: 'What is added; the same key again is the same entry.',
      schema: newEntry,
      maxBytes: MOST_ENTRY_BYTES,
      example: exampleNewEntry,
    },
    response: {
      kind: 'json',
      description: 'The entry as kept, judged and chained, once it is on the disk.',
      schema: recordEntry,
      example: exampleEntry,
    },
    refusals: {
      ...NO_RECORD,
      409: 'The record is signed, or the key is that of another entry.',
      422: 'A capture that cannot be one.',
    },
    perSecond: 30,
    handle: ({ params, body, sources }) => sources.verifications.add(params.id ?? '', body),
  }),
  defineRoute({
    method: 'POST',
    path: '/api/verifications/{id}/preview',
    summary: 'What a result would say, without keeping it',
    needs: 'operate',
    parameters: [RECORD],
    query: noQuery,
    queryExample: {},
    body: {
      description: 'Test, values and captures.',
      schema: previewAsk,
      maxBytes: MOST_BYTES,
      example: examplePreviewAsk,
    },
    response: {
      kind: 'json',
      description: 'The result, and what the captures say.',
      schema: previewResult,
      example: examplePreview,
    },
    refusals: { ...NO_RECORD, 422: 'A capture that cannot be one.' },
    perSecond: 30,
    handle: ({ params, body, sources }) => sources.verifications.preview(params.id ?? '', body),
  }),
  defineRoute({
    method: 'GET',
    path: '/api/verifications/{id}/photos/{hash}',
    summary: 'A photo of a record',
    needs: 'view',
    parameters: [RECORD, { name: 'hash', description: 'SHA-256 of the photo', example: exampleRecord.digest }],
    query: noQuery,
    queryExample: {},
    response: { kind: 'file', description: 'The picture.', contentTypes: ['image/jpeg', 'image/png', 'image/webp'] },
    refusals: NO_RECORD,
    perSecond: null,
    async handle({ params, sources }) {
      const { bytes, mediaType } = await sources.verifications.photo(params.id ?? '', params.hash ?? '')
      return new WithHeaders(bytes, {
        'content-type': mediaType,
        'content-disposition': `inline; filename="photo.${mediaType.slice('image/'.length)}"`,
        'cache-control': 'private, max-age=31536000, immutable',
      })
    },
  }),
  defineRoute({
    method: 'GET',
    path: '/api/verifications/{id}/check',
    summary: 'Whether a record is what was written: every hash, and every photo by its own',
    needs: 'view',
    parameters: [RECORD],
    query: noQuery,
    queryExample: {},
    response: { kind: 'json', description: 'Whole or not, and where not.', schema: recordCheck, example: exampleCheck },
    refusals: NO_RECORD,
    perSecond: 5,
    handle: ({ params, sources }) => sources.verifications.check(params.id ?? ''),
  }),
]
