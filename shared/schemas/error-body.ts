import { z } from 'zod'

const filePlace = z.object({ file: z.string(), line: z.number(), column: z.number() })

export const errorBody = z.object({
  code: z.string(),
  message: z.string(),
  remedy: z.string(),
  place: filePlace.optional(),
  /** The Modbus exception a device refused with. */
  exceptionCode: z.number().optional(),
})
