import { defineRoute, noQuery } from '../define-route.ts'
import { openApiDocument } from '../openapi.ts'
import type { Route } from '../route.ts'

/** `routes` is asked at the first request: this route stands in the table it describes. */
export function openApiRoute(version: string, routes: () => readonly Route[]): Route {
  let document: unknown
  return defineRoute({
    method: 'GET',
    path: '/api/openapi.json',
    summary: 'This document',
    parameters: [],
    query: noQuery,
    queryExample: {},
    needs: 'view',
    response: {
      kind: 'json',
      description: 'An OpenAPI 3.1 document of every route.',
      schema: null,
      example: { openapi: '3.1.0' },
    },
    refusals: {},
    perSecond: null,
    handle: () => {
      document ??= openApiDocument(version, routes())
      return document
    },
  })
}
