import { z } from 'zod'
import { FAULT_IDS } from '../../faults.ts'

/** A person learning, as he writes himself: free text of one line. */
export const traineeName = z
  .string()
  .trim()
  .min(1, 'say who you are')
  .max(80)
  .refine((name) => !/[\p{Cc}\p{Cs}\p{Zl}\p{Zp}]/u.test(name), 'one line, without control characters')

export const trainingSide = z.enum(['drive_side', 'operator_side'])
export const cause = z.enum(FAULT_IDS)
export const exerciseId = z.uuid()
export const zoneId = z.string().min(1).max(48)

/** Something measured or seen: in its unit with its standard uncertainty u in the same unit. */
export const trainingReading = z.strictObject({
  /** What it is (`end-clearance`); `signal`, `noise`, `turn-line` … are what the instruments of Live show after an act. */
  figure: z.string(),
  side: trainingSide.nullable(),
  value: z.union([z.number(), z.boolean(), z.string()]),
  /** null for what has none. */
  unit: z.string().nullable(),
  /** null for what is seen and not measured; 0 for what is set and read. */
  u: z.number().nullable(),
})

/** State of the machine at a zone, as a technician sees it. */
export const machineCondition = z.strictObject({
  power: z.enum(['running', 'stopped', 'locked out']),
  guards: z.enum(['closed', 'open']),
  driveEnabled: z.boolean(),
  web: z.enum(['tight', 'slack', 'off']),
  roller: z.enum(['on the cells', 'lifted off']),
  loads: z.array(z.enum(['push', 'weight', 'hand at a cable'])),
})

/** The state an act asks for; what is left out does not matter. */
export const actNeeds = z.strictObject({
  power: z.array(z.enum(['running', 'stopped', 'locked out'])).optional(),
  guards: z.enum(['closed', 'open']).optional(),
  driveEnabled: z.boolean().optional(),
  web: z.array(z.enum(['tight', 'slack', 'off'])).optional(),
  roller: z.enum(['on the cells', 'lifted off']).optional(),
  /** Nothing pushed, nothing hung on. */
  free: z.boolean().optional(),
})

export type TrainingSide = z.infer<typeof trainingSide>
export type TrainingReading = z.infer<typeof trainingReading>
