import { z } from 'zod'

/** GET /api/registers and `evenpull probe`: a register range in every type and word order, side by side. */
export const registerViewQuery = z.strictObject({
  device: z.string().min(1),
  unit_id: z.coerce.number().int().min(0).max(255).default(1),
  function: z.coerce
    .number()
    .int()
    .refine((f) => f === 3 || f === 4, 'function is 3 (holding) or 4 (input)')
    .default(4),
  address: z.coerce.number().int().min(0).max(65_535).default(0),
  count: z.coerce.number().int().min(1).max(60).default(10),
})

const byOrder = z.object({
  ABCD: z.number().nullable(),
  CDAB: z.number().nullable(),
  BADC: z.number().nullable(),
  DCBA: z.number().nullable(),
})

const registerRow = z.object({
  address: z.number(),
  /** 30001 or 40001 notation of the same register, for manuals written that way. */
  notation: z.string(),
  hex: z.string(),
  uint16: z.number(),
  int16: z.number(),
  /** Bytes swapped. */
  uint16Swapped: z.number(),
  int16Swapped: z.number(),
  /** This register and the next; null on the last row, and for a float that is not a number. */
  uint32: byOrder,
  int32: byOrder,
  float32: byOrder,
})

export const registerView = z.object({
  device: z.string(),
  unitId: z.number(),
  function: z.number(),
  address: z.number(),
  count: z.number(),
  timeMs: z.number(),
  roundTripMs: z.number(),
  rows: z.array(registerRow),
})

export type RegisterViewQuery = z.output<typeof registerViewQuery>
export type RegisterRow = z.infer<typeof registerRow>
export type RegisterView = z.infer<typeof registerView>
