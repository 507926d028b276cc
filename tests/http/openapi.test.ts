import { describe, expect, it } from 'vitest'
import { z } from 'zod'
import { openApiDocument } from '../../gateway/http/openapi.ts'
import { routeTable } from '../../gateway/http/routes/table.ts'
import { madeHealth, madeNow, madeZones } from '../browser/support/made-line.ts'
import { absent, runPython, titled } from './support/python-peer.ts'

/** What OpenAPI 3.1.0 (spec.openapis.org/oas/v3.1.0) requires of the parts that are used here. */
const mediaTypes = z.record(z.string(), z.strictObject({ schema: z.looseObject({}), example: z.unknown().optional() }))
const operation = z.strictObject({
  operationId: z.string().min(1),
  summary: z.string().min(1),
  security: z.array(z.record(z.string(), z.array(z.string()).length(0))).min(1),
  parameters: z.array(
    z.strictObject({
      name: z.string().min(1),
      in: z.enum(['path', 'query']),
      required: z.boolean(),
      description: z.string().optional(),
      schema: z.looseObject({}),
      example: z.unknown().optional(),
    }),
  ),
  requestBody: z
    .strictObject({ description: z.string().min(1), required: z.literal(true), content: mediaTypes })
    .optional(),
  responses: z.record(
    z.string().regex(/^[1-5]\d\d$/),
    z.strictObject({ description: z.string().min(1), content: mediaTypes }),
  ),
})
const documentShape = z.strictObject({
  openapi: z.literal('3.1.0'),
  info: z.strictObject({ title: z.string().min(1), version: z.string().min(1), description: z.string() }),
  servers: z.array(z.strictObject({ url: z.string() })),
  paths: z.record(z.string().startsWith('/'), z.partialRecord(z.enum(['get', 'put', 'post', 'delete']), operation)),
  components: z.strictObject({
    schemas: z.record(z.string().regex(/^[a-zA-Z0-9._-]+$/), z.looseObject({})),
    securitySchemes: z.record(
      z.string(),
      z.discriminatedUnion('type', [
        z.strictObject({
          type: z.literal('apiKey'),
          in: z.literal('cookie'),
          name: z.string(),
          description: z.string(),
        }),
        z.strictObject({ type: z.literal('http'), scheme: z.enum(['bearer', 'basic']), description: z.string() }),
      ]),
    ),
  }),
})

const table = routeTable('1.2.3')
const document = documentShape.parse(JSON.parse(JSON.stringify(openApiDocument('1.2.3', table))))
const operations = Object.entries(document.paths).flatMap(([path, item]) =>
  Object.entries(item).map(([method, given]) => ({ path, method, given })),
)

function references(node: unknown): string[] {
  if (Array.isArray(node)) return node.flatMap(references)
  if (typeof node !== 'object' || node === null) return []
  return Object.entries(node).flatMap(([key, value]) =>
    key === '$ref' && typeof value === 'string' ? [value] : references(value),
  )
}

describe('GET /api/openapi.json', () => {
  it('holds every route of the table and no other', () => {
    const served = table.map((route) => `${route.method.toLowerCase()} ${route.path}`)
    expect(operations.map(({ path, method }) => `${method} ${path}`).sort()).toEqual(served.sort())
    expect(new Set(operations.map(({ given }) => given.operationId)).size).toBe(table.length)
  })

  it('says of each route how its caller shows who he is, by a scheme that is described', () => {
    const schemes = Object.keys(document.components.securitySchemes)
    expect(schemes).toEqual(['session', 'token', 'basic'])
    for (const route of table) {
      const { security } = document.paths[route.path]?.[route.method.toLowerCase() as 'get'] ?? { security: [] }
      const named = security.flatMap((one) => Object.keys(one))
      expect(named).toEqual(route.needs === 'anyone' ? [] : schemes)
    }
  })

  it('declares each parameter of a path, as required, and the success and refusals of each route', () => {
    for (const { path, given } of operations) {
      const inPath = [...path.matchAll(/\{(\w+)\}/g)].map((match) => match[1])
      expect(given.parameters.filter((p) => p.in === 'path').map((p) => p.name)).toEqual(inPath)
      expect(given.parameters.filter((p) => p.in === 'path').every((p) => p.required)).toBe(true)
      expect(Object.keys(given.responses)).toEqual(expect.arrayContaining(['200', '400', '405', '500']))
    }
  })

  it('describes the query of the register viewer as what its values become, with limits and defaults', () => {
    const { parameters } = document.paths['/api/registers']?.get ?? { parameters: [] }
    const byName = Object.fromEntries(parameters.map((p) => [p.name, p]))
    expect(byName.device).toMatchObject({ required: true, schema: { type: 'string' } })
    expect(byName.count).toMatchObject({
      required: false,
      schema: { type: 'integer', minimum: 1, maximum: 60, default: 10 },
    })
  })

  it('describes the body of each route that takes one, and what is refused about it', () => {
    for (const { path, method, given } of operations) {
      const route = table.find((row) => row.path === path && row.method.toLowerCase() === method)
      expect(given.requestBody !== undefined).toBe(route?.body !== undefined)
      if (given.requestBody !== undefined)
        expect(Object.keys(given.responses)).toEqual(expect.arrayContaining(['403', '413', '415']))
    }
  })

  it('leaves no reference open', () => {
    const names = new Set(Object.keys(document.components.schemas).map((name) => `#/components/schemas/${name}`))
    const used = references(document)
    expect(used.length).toBeGreaterThan(20)
    for (const reference of used) expect(names).toContain(reference)
  })

  const reason = absent('jsonschema')
  it.skipIf(reason !== null)(
    titled(
      'its schemas are JSON Schema 2020-12, and an independent validator finds examples and made answers to fit, and a broken one not',
      reason,
    ),
    () => {
      const program = `
import json, sys
from jsonschema import Draft202012Validator
given = json.load(sys.stdin)
doc, cases = given["document"], given["cases"]
for schema in doc["components"]["schemas"].values():
    Draft202012Validator.check_schema(schema)
def errors(schema, value):
    whole = {"components": doc["components"], **schema}
    return [e.message for e in Draft202012Validator(whole).iter_errors(value)]
found = {}
for path, item in doc["paths"].items():
  for method, op in item.items():
    name = method + " " + path
    medias = [op["responses"]["200"]["content"], op.get("requestBody", {"content": {}})["content"]]
    found[name] = [e for m in medias if "application/json" in m for e in errors(m["application/json"]["schema"], m["application/json"]["example"])]
    for p in op["parameters"]:
        Draft202012Validator.check_schema(p["schema"])
        found[name + " " + p["name"]] = errors(p["schema"], p["example"]) if "example" in p else []
for name, value in cases:
    found.setdefault(name, []).extend(errors({"$ref": "#/components/schemas/" + name}, value))
print(json.dumps(found))`
      const cases = [
        ['ZoneList', madeZones],
        ['Health', madeHealth(0, 1, 2)],
        ...madeNow(0, 1).map((now) => ['ZoneNow', now]),
      ]
      const found = runPython(program, { document, cases })
      const complaints = Object.entries(found as Record<string, string[]>).filter(([, list]) => list.length > 0)
      expect(complaints).toEqual([])
      const broken = runPython(program, { document, cases: [['Health', { ...madeHealth(0, 1, 2), status: 'fine' }]] })
      expect((broken as Record<string, string[]>).Health).toHaveLength(1)
    },
  )
})
