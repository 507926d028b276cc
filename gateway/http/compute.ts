import type { z } from 'zod'
import { ImpossiblePath } from '../../lib/geometry/path-fault.ts'
import { EvenpullError } from '../../shared/errors.ts'
import { defineRoute, noQuery } from './define-route.ts'
import type { Route } from './route.ts'

/** A compute request is numbers alone; a stretch of some 40 000 samples of both sides fits. */
const MAX_BYTES = 1024 * 1024
/** Each keeps the process busy for milliseconds. */
const PER_SECOND = 10

export interface ComputeRouteDefinition<Request extends z.ZodType, Result extends z.ZodType> {
  readonly name: 'geometry' | 'calibration' | 'statistics' | 'diagnosis'
  readonly summary: string
  readonly request: Request
  readonly result: Result
  readonly requestDescription: string
  readonly resultDescription: string
  readonly example: z.input<Request>
  /** For one that takes longer than milliseconds. */
  readonly perSecond?: number
  readonly compute: (request: z.output<Request>) => z.output<Result>
}

/**
 * A route that computes what is posted and touches nothing else. Its example answer is what the computation makes of
 * its example request. A request that contradicts itself, or whose numbers lead beyond a double, is EVP_REQUEST_INVALID.
 */
export function computeRoute<Request extends z.ZodType, Result extends z.ZodType>(
  definition: ComputeRouteDefinition<Request, Result>,
): Route {
  const { name, request, result, compute, perSecond = PER_SECOND } = definition
  const answer = (given: z.output<Request>) => checked(result, computed(compute, given))
  return defineRoute<typeof noQuery, Request>({
    method: 'POST',
    path: `/api/compute/${name}`,
    summary: definition.summary,
    parameters: [],
    query: noQuery,
    queryExample: {},
    body: {
      description: definition.requestDescription,
      schema: request,
      maxBytes: MAX_BYTES,
      example: definition.example,
    },
    needs: 'view',
    response: {
      kind: 'json',
      description: definition.resultDescription,
      schema: result,
      example: answer(request.parse(definition.example)),
    },
    refusals: { 429: `More than ${perSecond} requests in a second.` },
    perSecond,
    handle: ({ body }) => answer(body),
  })
}

function computed<Given, Told>(compute: (given: Given) => Told, given: Given): Told {
  try {
    return compute(given)
  } catch (error) {
    if (error instanceof RangeError || error instanceof ImpossiblePath)
      throw new EvenpullError('EVP_REQUEST_INVALID', error.message, { cause: error })
    throw error
  }
}

/** JSON has no NaN and no infinity: a result that holds one came from numbers nobody measures. */
function checked<Result extends z.ZodType>(schema: Result, told: z.output<Result>): z.output<Result> {
  const parsed = schema.safeParse(told)
  if (parsed.success) return told
  const where = parsed.error.issues[0]?.path.join('.') ?? ''
  throw new EvenpullError('EVP_REQUEST_INVALID', `the numbers given lead to no finite ${where || 'result'}`)
}
