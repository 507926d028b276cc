/**
 * A number that knows what it is. Two clocks live in this product; mixing them
 * would date a sample wrongly, so the compiler keeps them apart.
 */
declare const brand: unique symbol
type Brand<T, Name extends string> = T & { readonly [brand]: Name }

/** Milliseconds on the machine's monotonic clock (same zero in every process of one machine). */
export type MonotonicMs = Brand<number, 'MonotonicMs'>

/** Milliseconds since 1970-01-01T00:00:00Z, derived from the monotonic clock by one fixed anchor. */
export type EpochMs = Brand<number, 'EpochMs'>

export const monotonicMs = (ms: number): MonotonicMs => ms as MonotonicMs
export const epochMs = (ms: number): EpochMs => ms as EpochMs
