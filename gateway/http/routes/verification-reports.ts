import { compareRecords } from '../../../lib/verification/compare.ts'
import { verificationRecord } from '../../../shared/schemas/verification.ts'
import { compareQuery, recordComparison, reportQuery } from '../../../shared/schemas/verification-compare.ts'
import { machineTimeZone } from '../../local-time.ts'
import { reportInThread } from '../../reports/report-in-thread.ts'
import { readersChoice } from '../../reports/report-reader.ts'
import { defineRoute, noQuery } from '../define-route.ts'
import { type Route, WithHeaders } from '../route.ts'
import { pagePolicy } from '../security-headers.ts'
import { EXAMPLE_RECORD_ID, exampleRecord } from '../verification-examples.ts'
import { NO_RECORD, RECORD } from './verifications.ts'

/** A record to read: as one page, as data, and against an earlier one. */
export const verificationReportRoutes: readonly Route[] = [
  defineRoute({
    method: 'GET',
    path: '/api/verifications/{id}/report',
    summary: 'A record as one page that needs nothing else, to print or to keep',
    needs: 'view',
    parameters: [RECORD],
    query: reportQuery,
    queryExample: { with: EXAMPLE_RECORD_ID, paper: 'a4', lang: 'de', decimal: 'comma', units: 'us' },
    response: {
      kind: 'text',
      description: 'One HTML page; prints on A4 and Letter.',
      contentType: 'text/html; charset=utf-8',
      example: '<!doctype html>',
    },
    refusals: NO_RECORD,
    perSecond: 5,
    async handle({ params, query, sources }) {
      const { verifications } = sources
      const record = await verifications.record(params.id ?? '')
      const earlier = query.with === undefined ? null : await verifications.record(query.with)
      const comparison = earlier === null ? null : compareRecords(earlier, record)
      const page = await reportInThread({
        record,
        photos: await verifications.photos(record),
        comparison,
        printedMs: Date.now(),
        timeZone: machineTimeZone(),
        paper: query.paper ?? null,
        choice: readersChoice(query.lang, query.decimal, query.units),
      })
      return new WithHeaders(page, { 'content-security-policy': pagePolicy(page) })
    },
  }),
  defineRoute({
    method: 'GET',
    path: '/api/verifications/{id}/report.json',
    summary: 'A record as data, by the published schema',
    needs: 'view',
    parameters: [RECORD],
    query: noQuery,
    queryExample: {},
    response: {
      kind: 'json',
      description: 'The record as it is kept; shared/schemas/verification.schema.json.',
      schema: verificationRecord,
      example: exampleRecord,
    },
    refusals: NO_RECORD,
    perSecond: 5,
    handle: ({ params, sources }) => sources.verifications.record(params.id ?? ''),
  }),
  defineRoute({
    method: 'GET',
    path: '/api/verifications/{id}/compare',
    summary: 'What changed since an earlier record, beyond the uncertainty of both',
    needs: 'view',
    parameters: [RECORD],
    query: compareQuery,
    queryExample: { with: EXAMPLE_RECORD_ID },
    response: {
      kind: 'json',
      description: 'Changed, not told apart, not comparable.',
      schema: recordComparison,
      example: compareRecords(exampleRecord, exampleRecord),
    },
    refusals: NO_RECORD,
    perSecond: 5,
    async handle({ params, query, sources }) {
      const later = await sources.verifications.record(params.id ?? '')
      return compareRecords(await sources.verifications.record(query.with), later)
    },
  }),
]
