import type { z } from 'zod'
import type { Health } from '../../shared/schemas/health.ts'
import type { ZoneNow } from '../../shared/schemas/now.ts'
import type { RegisterView, RegisterViewQuery } from '../../shared/schemas/register-view.ts'
import type { ZoneList } from '../../shared/schemas/zones.ts'

/** What the HTTP server asks the rest of the gateway. */
export interface GatewaySources {
  health(): Health
  zones(): ZoneList
  /** undefined: no such zone. */
  zoneNow(id: string): ZoneNow | undefined
  /** Rejects with an EvenpullError. */
  readRegisters(query: RegisterViewQuery): Promise<RegisterView>
}

/** What a route answers with; `schema` describes JSON, text stands for itself. */
export type RouteResponse =
  | {
      readonly kind: 'json'
      readonly description: string
      readonly schema: z.ZodType | null
      readonly example: unknown
    }
  | { readonly kind: 'text'; readonly description: string; readonly contentType: string; readonly example: string }

export interface PathParameter {
  readonly name: string
  readonly description: string
  readonly example: string
}

/** A request after the router: its path parameters decoded, its query checked. */
export interface RouteInput<Query> {
  readonly params: Readonly<Record<string, string>>
  readonly query: Query
  readonly sources: GatewaySources
}

/** One row of the API. The OpenAPI document is derived from the same rows. */
export interface RouteDefinition<Schema extends z.ZodType> {
  readonly method: 'GET'
  /** Segments in braces are parameters. */
  readonly path: string
  readonly summary: string
  readonly parameters: readonly PathParameter[]
  readonly query: Schema
  readonly queryExample: Readonly<Record<string, unknown>>
  readonly response: RouteResponse
  /** Statuses of refusals beside 400, 405 and 500, and when they come. */
  readonly refusals: Readonly<Record<number, string>>
  /** Requests per second and client; null is unlimited. */
  readonly perSecond: number | null
  /** The body: an object for JSON, a string for text. */
  handle(input: RouteInput<z.output<Schema>>): unknown
}

/** A route whose query type no longer matters to the table it stands in. */
export interface Route extends Omit<RouteDefinition<z.ZodType>, 'handle'> {
  /** Checks the query (EVP_REQUEST_INVALID) and answers. */
  answer(input: RouteInput<Readonly<Record<string, string>>>): unknown
}
