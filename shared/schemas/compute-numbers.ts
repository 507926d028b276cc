import { z } from 'zod'

/** Numbers that a compute request may carry: bounded, so that no square of one runs out of a double. */
const LARGEST = 1e12
const SMALLEST = 1e-12

export const finite = z.number().min(-LARGEST).max(LARGEST)
export const positive = z.number().min(SMALLEST).max(LARGEST)
export const notNegative = z.number().min(0).max(LARGEST)
/** Either sign, but not 0. */
export const nonZero = finite.refine((x) => Math.abs(x) >= SMALLEST, 'must not be 0')
/** A value other than 0 with its standard uncertainty. */
export const uncertain = z.strictObject({ value: nonZero, u: notNegative })
