import { EvenpullError } from '../../shared/errors.ts'
import { didYouMean } from '../config/nearest.ts'
import { given, list } from '../config/words.ts'
import type { Flags } from './command.ts'

/** A command line that cannot be meant. */
export function usage(message: string): EvenpullError {
  return new EvenpullError('EVP_USAGE', message)
}

/** Text of a flag, or undefined when it was not given. */
export function textFlag(flags: Flags, name: string): string | undefined {
  const value = flags[name]
  return typeof value === 'string' ? value : undefined
}

/** A whole number from `low` to `high`; throws EVP_USAGE otherwise. */
export function wholeFlag(flags: Flags, name: string, low: number, high: number): number | undefined {
  const text = textFlag(flags, name)
  if (text === undefined) return undefined
  const value = /^\d+$/.test(text) ? Number(text) : Number.NaN
  if (value >= low && value <= high) return value
  throw usage(`--${name}: expected a whole number from ${low} to ${high}, got ${given(text)}`)
}

/** A number over 0; throws EVP_USAGE otherwise. */
export function positiveFlag(flags: Flags, name: string): number | undefined {
  const text = textFlag(flags, name)
  if (text === undefined) return undefined
  const value = /^\d+(\.\d+)?(e[-+]?\d+)?$/i.test(text) ? Number(text) : Number.NaN
  if (value > 0 && Number.isFinite(value)) return value
  throw usage(`--${name}: expected a number over 0, got ${given(text)}`)
}

/** One of `choices`; throws EVP_USAGE with what was probably meant otherwise. */
export function choiceFlag<T extends string>(flags: Flags, name: string, choices: readonly T[]): T | undefined {
  const text = textFlag(flags, name)
  if (text === undefined) return undefined
  const choice = choices.find((candidate) => candidate === text)
  if (choice !== undefined) return choice
  throw usage(`--${name}: expected ${list(choices, 'or')}, got ${given(text)}${didYouMean(text, choices)}`)
}
