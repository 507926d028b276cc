import { z } from 'zod'
import { configSchema } from '../../shared/schemas/config.ts'
import type { ConfigPath } from './finding.ts'

/** As much of a JSON Schema node as is read here. */
export interface SchemaNode {
  readonly type?: string
  readonly description?: string
  readonly properties?: Readonly<Record<string, SchemaNode>>
  readonly items?: SchemaNode | readonly SchemaNode[]
  readonly anyOf?: readonly SchemaNode[]
  readonly oneOf?: readonly SchemaNode[]
  readonly const?: unknown
  readonly enum?: readonly unknown[]
}

/** The config as editors know it: JSON Schema (draft 7) of the file as written, before defaults. */
export function configJsonSchema(): SchemaNode & Record<string, unknown> {
  const { $schema, ...rest } = z.toJSONSchema(configSchema, { io: 'input', target: 'draft-7' })
  return { $schema, title: 'Evenpull config', ...rest } as SchemaNode & Record<string, unknown>
}

let known: SchemaNode | undefined

/**
 * The schema nodes that may stand at `path` of `value`; a device is narrowed down by its `transport`.
 * Empty when nothing is known there.
 */
export function nodesAt(value: unknown, path: ConfigPath): readonly SchemaNode[] {
  known ??= configJsonSchema()
  let nodes = options(known, value)
  let here = value
  for (const step of path) {
    here = property(here, step)
    nodes = nodes.flatMap((node) => stepInto(node, step)).flatMap((node) => options(node, here))
  }
  return nodes
}

/** Keys that may stand in the mapping at `path`. */
export function keysAt(value: unknown, path: ConfigPath): string[] {
  return [...new Set(nodesAt(value, path).flatMap((node) => Object.keys(node.properties ?? {})))]
}

/** What the schema says about the value at `path`, if it says anything. */
export function describedAt(value: unknown, path: ConfigPath): string | undefined {
  const parent = nodesAt(value, path.slice(0, -1))
  const last = path.at(-1)
  if (last === undefined) return undefined
  return parent.flatMap((node) => stepInto(node, last)).find((node) => node.description !== undefined)?.description
}

function stepInto(node: SchemaNode, step: string | number): readonly SchemaNode[] {
  if (typeof step === 'string') {
    const next = Object.hasOwn(node.properties ?? {}, step) ? node.properties?.[step] : undefined
    return next === undefined ? [] : [next]
  }
  const { items } = node
  if (items === undefined) return []
  const next = 'length' in items ? (items as readonly SchemaNode[])[step] : (items as SchemaNode)
  return next === undefined ? [] : [next]
}

/** The alternatives of a union, those that fit a discriminating constant of `value` when there are such. */
function options(node: SchemaNode, value: unknown): readonly SchemaNode[] {
  const alternatives = node.anyOf ?? node.oneOf
  if (alternatives === undefined) return [node]
  const fitting = alternatives.filter((alternative) => {
    const transport = alternative.properties?.transport?.const
    return transport === undefined || transport === property(value, 'transport')
  })
  return (fitting.length === 0 ? alternatives : fitting).flatMap((alternative) => options(alternative, value))
}

/** Own property or element of plain data; undefined for anything else. */
export function property(value: unknown, step: string | number): unknown {
  if (typeof value !== 'object' || value === null || !Object.hasOwn(value, step)) return undefined
  return (value as Record<string | number, unknown>)[step]
}

/** Plain data at `path`; undefined when there is none. */
export function valueAt(value: unknown, path: ConfigPath): unknown {
  return path.reduce<unknown>(property, value)
}
