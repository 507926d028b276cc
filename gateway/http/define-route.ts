import { z } from 'zod'
import { EvenpullError } from '../../shared/errors.ts'
import type { Route, RouteDefinition } from './route.ts'

/** The query of a route that takes none: anything in it is refused rather than ignored. */
export const noQuery = z.strictObject({})

/** Ties a route's handler to its query schema. */
export function defineRoute<Schema extends z.ZodType>(definition: RouteDefinition<Schema>): Route {
  return {
    ...definition,
    answer({ params, query, sources }) {
      const parsed = definition.query.safeParse(query)
      if (!parsed.success) throw new EvenpullError('EVP_REQUEST_INVALID', describe(parsed.error))
      return definition.handle({ params, query: parsed.data, sources })
    },
  }
}

function describe(error: z.ZodError): string {
  const issues = error.issues.map((issue) => `${issue.path.join('.') || 'query'}: ${issue.message}`)
  return issues.slice(0, 5).join('; ').slice(0, 500)
}
