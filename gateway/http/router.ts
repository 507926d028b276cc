import type { Route } from './route.ts'

export interface RouteMatch {
  readonly route: Route
  readonly params: Readonly<Record<string, string>>
}

/**
 * Finds the routes of a URL path, one a method. Segments are compared after decoding, one by one; a
 * segment that does not decode matches nothing.
 */
export function findRoutes(routes: readonly Route[], path: string): RouteMatch[] {
  const segments = path.split('/').map(decoded)
  return routes.flatMap((route) => {
    const params = matchSegments(route.path.split('/'), segments)
    return params === null ? [] : [{ route, params }]
  })
}

/** Methods of these routes, as an Allow header has them. */
export function methodsOf(matches: readonly RouteMatch[]): string {
  return matches.map(({ route }) => (route.method === 'GET' ? 'GET, HEAD' : route.method)).join(', ')
}

function matchSegments(
  pattern: readonly string[],
  segments: readonly (string | null)[],
): Record<string, string> | null {
  if (pattern.length !== segments.length) return null
  const params: Record<string, string> = {}
  for (const [i, expected] of pattern.entries()) {
    const segment = segments[i]
    if (segment === null || segment === undefined) return null
    const name = /^\{(\w+)\}$/.exec(expected)?.[1]
    if (name !== undefined && segment !== '') params[name] = segment
    else if (segment !== expected) return null
  }
  return params
}

function decoded(segment: string): string | null {
  try {
    return decodeURIComponent(segment)
  } catch {
    return null
  }
}
