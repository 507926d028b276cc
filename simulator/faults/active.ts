import { z } from 'zod'
import { FAULT_IDS } from '../../shared/faults.ts'
import { onset } from './onset.ts'

/** A fault put into a zone; `side` null where it has none. */
export const activeFault = z.strictObject({
  fault: z.enum(FAULT_IDS),
  zone: z.string(),
  side: z.enum(['drive_side', 'operator_side']).nullable().default(null),
  /** In the fault's own unit. */
  severity: z.number(),
  onset: onset.default({ kind: 'constant' }),
})
export type ActiveFault = z.infer<typeof activeFault>
