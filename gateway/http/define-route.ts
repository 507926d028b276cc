import { z } from 'zod'
import { EvenpullError } from '../../shared/errors.ts'
import { valueAt } from '../config/json-schema.ts'
import { given } from '../config/words.ts'
import { type Route, type RouteDefinition, whatIsAsked } from './route.ts'

/** The query of a route that takes none: anything in it is refused rather than ignored. */
export const noQuery = z.strictObject({})

/** Ties a route's handler to the schemas of its query and body. */
export function defineRoute<Query extends z.ZodType, Body extends z.ZodType = z.ZodUndefined>(
  definition: RouteDefinition<Query, Body>,
): Route {
  return {
    ...definition,
    answer({ query, body, ...request }) {
      const checkedQuery = checked(definition.query, query, 'query')
      const checkedBody =
        definition.body === undefined ? (undefined as z.output<Body>) : checked(definition.body.schema, body, 'body')
      const more = definition.needsFor?.(checkedBody)
      const { caller, client, sources } = request
      if (more !== undefined) sources.access.require(caller, more, whatIsAsked(definition), client)
      return definition.handle({ ...request, query: checkedQuery, body: checkedBody })
    },
  }
}

function checked<Schema extends z.ZodType>(schema: Schema, value: unknown, word: string): z.output<Schema> {
  const parsed = schema.safeParse(value)
  if (!parsed.success) throw new EvenpullError('EVP_REQUEST_INVALID', describe(parsed.error, value, word))
  return parsed.data
}

function describe(error: z.ZodError, value: unknown, word: string): string {
  const issues = error.issues.map((issue) => `${issue.path.join('.') || word}: ${said(issue, value)}`)
  return issues.slice(0, 5).join('; ').slice(0, 500)
}

/** What the schema says, but for what is not there, and for a text of the query that is no number: zod would call it NaN. */
function said(issue: z.core.$ZodIssue, value: unknown): string {
  const told = valueAt(
    value,
    issue.path.map((step) => (typeof step === 'symbol' ? String(step) : step)),
  )
  if (told === undefined && issue.path.length > 0) return 'it is missing'
  if (issue.code !== 'invalid_type' || issue.expected !== 'number' || typeof told !== 'string') return issue.message
  return issue.message.startsWith('Invalid input') ? `expected a number, got ${given(told)}` : issue.message
}
