import { STATUS_CODES } from 'node:http'
import { z } from 'zod'
import { alarm, alarmList, alarmReading } from '../../shared/schemas/alarms.ts'
import { calibrationRequest, calibrationResult } from '../../shared/schemas/compute-calibration.ts'
import { geometryRequest, geometryResult } from '../../shared/schemas/compute-geometry.ts'
import { statisticsRequest, statisticsResult } from '../../shared/schemas/compute-statistics.ts'
import { computedFigure } from '../../shared/schemas/computed-figure.ts'
import { calibrationRecord, geometryView, revisionEntry, revisionList } from '../../shared/schemas/config-write.ts'
import { diagnosis, diagnosisRequest } from '../../shared/schemas/diagnosis.ts'
import { exportProgress } from '../../shared/schemas/export.ts'
import { errorBody, health } from '../../shared/schemas/health.ts'
import { figure, live, sideNow, verdict, zoneNow } from '../../shared/schemas/now.ts'
import { registerView } from '../../shared/schemas/register-view.ts'
import { shiftSummary } from '../../shared/schemas/shift-summary.ts'
import { zoneInfo, zoneList } from '../../shared/schemas/zones.ts'
import type { Route, RouteResponse } from './route.ts'

type Json = Readonly<Record<string, unknown>>

/** Schemas that get a name in the document; any other stands where it is used. */
const NAMED_SCHEMAS = {
  Alarm: alarm,
  AlarmList: alarmList,
  AlarmReading: alarmReading,
  CalibrationRequest: calibrationRequest,
  CalibrationResult: calibrationResult,
  ComputedFigure: computedFigure,
  CalibrationRecord: calibrationRecord,
  Diagnosis: diagnosis,
  DiagnosisRequest: diagnosisRequest,
  ErrorBody: errorBody,
  ExportProgress: exportProgress,
  Figure: figure,
  GeometryRequest: geometryRequest,
  GeometryResult: geometryResult,
  GeometryView: geometryView,
  Health: health,
  Live: live,
  RegisterView: registerView,
  RevisionEntry: revisionEntry,
  RevisionList: revisionList,
  ShiftSummary: shiftSummary,
  SideNow: sideNow,
  StatisticsRequest: statisticsRequest,
  StatisticsResult: statisticsResult,
  Verdict: verdict,
  ZoneInfo: zoneInfo,
  ZoneList: zoneList,
  ZoneNow: zoneNow,
} as const satisfies Record<string, z.ZodType>

/** The ways to say who asks; each is of use only where the gateway has users. */
const SECURITY_SCHEMES = {
  session: {
    type: 'apiKey',
    in: 'cookie',
    name: 'evenpull-8420',
    description:
      'Set by POST /api/session. The number is the port of the gateway; over TLS `__Host-` stands before the name.',
  },
  token: { type: 'http', scheme: 'bearer', description: 'Of a machine: evenpull users add CONFIG NAME --machine.' },
  basic: { type: 'http', scheme: 'basic', description: 'Name of a machine, and its token as the password.' },
} as const
/** One of them; or none, where the gateway has no users. */
const ANY_OF_THEM = [...Object.keys(SECURITY_SCHEMES).map((name) => ({ [name]: [] })), {}]

const reference = (name: string) => `#/components/schemas/${name}`

/** The OpenAPI 3.1 document of a route table: each part comes from the row that is served. */
export function openApiDocument(version: string, routes: readonly Route[]): Json {
  return {
    openapi: '3.1.0',
    info: {
      title: 'Evenpull gateway',
      version,
      description:
        'What the cells of each measuring roller read, with uncertainty, limit and verdict. Nothing here writes to a field device. All values are SI. Live samples come over the WebSocket at /stream.',
    },
    servers: [{ url: '/' }],
    paths: paths(routes),
    components: { schemas: componentSchemas(), securitySchemes: SECURITY_SCHEMES },
  }
}

function paths(routes: readonly Route[]): Json {
  const items: Record<string, Record<string, Json>> = {}
  for (const route of routes) {
    const item = items[route.path] ?? {}
    item[route.method.toLowerCase()] = operation(route)
    items[route.path] = item
  }
  return items
}

function operation(route: Route): Json {
  return {
    operationId: operationId(route),
    summary: route.summary,
    security: route.needs === 'anyone' ? [{}] : ANY_OF_THEM,
    parameters: [
      ...route.parameters.map(({ name, description, example }) => ({
        name,
        in: 'path',
        required: true,
        description,
        schema: { type: 'string' },
        example,
      })),
      ...queryParameters(route),
    ],
    ...(route.body === undefined ? {} : { requestBody: requestBody(route.body) }),
    responses: {
      200: { description: route.response.description, content: responseContent(route.response) },
      ...refusals(route),
    },
  }
}

function requestBody({ description, schema, example }: NonNullable<Route['body']>): Json {
  return { description, required: true, content: { 'application/json': { schema: schemaOf(schema), example } } }
}

/** GET /api/zones/{id}/now → getZonesIdNow */
function operationId({ method, path }: Route): string {
  const words = path.split(/[^a-zA-Z]+/).filter((word) => word !== '' && word !== 'api')
  return `${method.toLowerCase()}${words.map((word) => word.charAt(0).toUpperCase() + word.slice(1)).join('')}`
}

/** A query arrives as text and is coerced, so that its parameters are described by what they become. */
function queryParameters(route: Route): Json[] {
  const { properties = {}, required = [] } = z.toJSONSchema(route.query, { io: 'output' })
  return Object.entries(properties).map(([name, schema]) => ({
    name,
    in: 'query',
    required: required.includes(name) && typeof schema === 'object' && schema.default === undefined,
    schema,
    ...(name in route.queryExample ? { example: route.queryExample[name] } : {}),
  }))
}

function responseContent(response: RouteResponse): Json {
  if (response.kind === 'file')
    return Object.fromEntries(
      response.contentTypes.map((type) => [type, { schema: { type: 'string', format: 'binary' } }]),
    )
  if (response.kind === 'text')
    return { [response.contentType]: { schema: { type: 'string' }, example: response.example } }
  return { 'application/json': { schema: schemaOf(response.schema), example: response.example } }
}

function schemaOf(schema: z.ZodType | null): Json {
  if (schema === null) return { type: 'object' }
  const name = Object.entries(NAMED_SCHEMAS).find(([, named]) => named === schema)?.[0]
  return name === undefined ? { ...z.toJSONSchema(schema, { io: 'input' }) } : { $ref: reference(name) }
}

function refusals(route: Route): Json {
  const meanings: Record<number, string> = {
    400: 'The request is not as described here.',
    ...accessRefusals(route),
    405: 'This method does not exist here; Allow says which do.',
    500: 'A fault of the gateway.',
    ...bodyRefusals(route),
    ...route.refusals,
  }
  const content = { 'application/json': { schema: { $ref: reference('ErrorBody') } } }
  return Object.fromEntries(
    Object.entries(meanings).map(([status, meaning]) => [
      status,
      { description: `${STATUS_CODES[status] ?? 'Refused'}: ${meaning}`, content },
    ]),
  )
}

function accessRefusals({ method, needs }: Route): Record<number, string> {
  const host = 'The Host header does not name this gateway'
  const origin = method === 'GET' ? '' : ", or the page is another origin's"
  if (needs === 'anyone') return { 403: `${host}${origin}.` }
  return {
    401: 'This gateway has users: a session (POST /api/session) or a token is needed.',
    403: `${host}${origin}, or the user has not the role ${needs}.`,
  }
}

function bodyRefusals({ body }: Route): Record<number, string> {
  if (body === undefined) return { 413: 'A body was sent; the request takes none.' }
  return {
    413: `The body is larger than ${body.maxBytes} bytes.`,
    415: 'The body is not application/json in UTF-8.',
  }
}

function componentSchemas(): Json {
  const registry = z.registry<{ id: string }>()
  for (const [id, schema] of Object.entries(NAMED_SCHEMAS)) registry.add(schema, { id })
  // The input form leaves objects open: a later version may say more without breaking a reader.
  const { schemas } = z.toJSONSchema(registry, { uri: reference, io: 'input' })
  return Object.fromEntries(
    Object.entries(schemas).map(([name, { $id: _id, $schema: _dialect, ...schema }]) => [name, schema]),
  )
}
