import { z } from 'zod'
import { EvenpullError } from '../../shared/errors.ts'
import type { Route, RouteDefinition } from './route.ts'

/** The query of a route that takes none: anything in it is refused rather than ignored. */
export const noQuery = z.strictObject({})

/** Ties a route's handler to the schemas of its query and body. */
export function defineRoute<Query extends z.ZodType, Body extends z.ZodType = z.ZodUndefined>(
  definition: RouteDefinition<Query, Body>,
): Route {
  return {
    ...definition,
    answer({ params, query, body, caller, sources }) {
      return definition.handle({
        params,
        query: checked(definition.query, query, 'query'),
        body:
          definition.body === undefined ? (undefined as z.output<Body>) : checked(definition.body.schema, body, 'body'),
        sent: body,
        caller,
        sources,
      })
    },
  }
}

function checked<Schema extends z.ZodType>(schema: Schema, value: unknown, word: string): z.output<Schema> {
  const parsed = schema.safeParse(value)
  if (!parsed.success) throw new EvenpullError('EVP_REQUEST_INVALID', describe(parsed.error, word))
  return parsed.data
}

function describe(error: z.ZodError, word: string): string {
  const issues = error.issues.map((issue) => `${issue.path.join('.') || word}: ${issue.message}`)
  return issues.slice(0, 5).join('; ').slice(0, 500)
}
