import { z } from 'zod'
import type { Act, Needs } from './act.ts'
import { ACTS } from './registry.ts'

/** An act as somebody who chooses one reads it. */
export interface ListedAct {
  readonly id: string
  readonly title: string
  readonly seconds: number
  readonly caution: string | null
  readonly needs: Needs
  /** JSON Schema of its arguments. */
  readonly args: object
}

/** Every act, in the order of the registry. */
export function catalogue(): ListedAct[] {
  return Object.values<Act>(ACTS).map(({ id, title, seconds, caution, needs, args }) => ({
    id,
    title,
    seconds,
    caution,
    needs,
    args: z.toJSONSchema(args, { io: 'input' }),
  }))
}
