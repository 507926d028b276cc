import { z } from 'zod'
import { type Caller, nameOf } from '../access/caller.ts'
import type { Route } from './route.ts'

/**
 * A body as it is taken: where its schema has a `who`, that is the logged-in user, whatever was typed. Without a
 * log-in it stays what was typed: there is nobody else to ask.
 */
export function signed(route: Pick<Route, 'body'>, body: unknown, caller: Caller): unknown {
  const name = nameOf(caller)
  if (name === null || !hasWho(route.body?.schema)) return body
  const isObject = typeof body === 'object' && body !== null && !Array.isArray(body)
  return isObject ? { ...body, who: name } : body
}

/** A body of several forms has one only when every form has. */
export function hasWho(schema: z.ZodType | undefined): boolean {
  if (schema instanceof z.ZodUnion) return schema.options.every((option) => hasWho(option as z.ZodType))
  return schema instanceof z.ZodObject && Object.hasOwn(schema.shape, 'who')
}
