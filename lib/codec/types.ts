import type { RegisterType } from '../../shared/schemas/config.ts'

/** Registers (16 bits each) a value of each type takes. */
export const WORDS: Readonly<Record<RegisterType, 1 | 2>> = { int16: 1, uint16: 1, int32: 2, uint32: 2, float32: 2 }
