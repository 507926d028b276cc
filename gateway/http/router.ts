import type { Route } from './route.ts'

export interface RouteMatch {
  readonly route: Route
  readonly params: Readonly<Record<string, string>>
}

/**
 * Finds the route of a URL path. Segments are compared after decoding, one by one; a segment that
 * does not decode matches nothing.
 */
export function findRoute(routes: readonly Route[], path: string): RouteMatch | null {
  const segments = path.split('/').map(decoded)
  for (const route of routes) {
    const params = matchSegments(route.path.split('/'), segments)
    if (params !== null) return { route, params }
  }
  return null
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
