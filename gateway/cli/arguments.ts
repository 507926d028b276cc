import { parseArgs } from 'node:util'
import { didYouMean } from '../config/nearest.ts'
import { given } from '../config/words.ts'
import type { Command, CommandCall, FlagSpec } from './command.ts'
import { usage } from './options.ts'

/** Flags of every command. */
export const COMMON_FLAGS = {
  json: { type: 'boolean', help: 'JSON on standard output, for machines; errors too' },
  help: { type: 'boolean', help: 'this text' },
} as const satisfies Record<string, FlagSpec>

/**
 * The words after a command, taken apart. Throws EVP_USAGE, naming what was probably meant, for a
 * flag the command does not know, a missing or superfluous value, and operands too few or too many.
 */
export function parseCommandLine(
  command: Command,
  args: readonly string[],
): Pick<CommandCall, 'operand' | 'more' | 'flags' | 'rest'> {
  if (command.handsOnFlags) return handedOn(command, args)
  const known: Readonly<Record<string, FlagSpec>> = { ...command.flags, ...COMMON_FLAGS }
  const options = Object.fromEntries(Object.entries(known).map(([name, { type }]) => [name, { type }]))
  const { tokens } = parseArgs({ args: [...args], options, allowPositionals: true, strict: false, tokens: true })
  const flags: Record<string, string | boolean> = {}
  const operands: string[] = []
  for (const token of tokens) {
    if (token.kind === 'positional') operands.push(token.value)
    if (token.kind === 'option') flags[token.name] = flagValue(command, known, token)
  }
  return { operand: operandOf(command, operands), more: operands.slice(1), flags, rest: [] }
}

function flagValue(
  command: Command,
  known: Readonly<Record<string, FlagSpec>>,
  token: { readonly name: string; readonly rawName: string; readonly value: string | undefined },
): string | boolean {
  const spec = Object.hasOwn(known, token.name) ? known[token.name] : undefined
  if (spec === undefined) {
    const names = Object.keys(known).map((name) => `--${name}`)
    const meant = didYouMean(`--${token.name}`, names) || `; ${command.name} has ${names.join(' ')}`
    throw usage(`evenpull ${command.name} has no flag ${token.rawName}${meant}`)
  }
  if (spec.type === 'boolean') {
    if (token.value !== undefined) throw usage(`${token.rawName} takes no value, got ${given(token.value)}`)
    return true
  }
  if (token.value === undefined || token.value === '') throw usage(`${token.rawName} needs a value: ${spec.help}`)
  return token.value
}

function operandOf(command: Command, operands: readonly string[]): string {
  const { more = [] } = command
  const wanted = [command.operand, ...more].filter(({ optional }) => optional !== true)
  const missing = wanted[operands.length]
  if (missing !== undefined) throw usage(`evenpull ${command.name} needs ${missing.name}: ${missing.help}`)
  if (operands.length > 1 + more.length) {
    const names = [command.operand, ...more].map(({ name }) => name).join(' ')
    throw usage(
      `evenpull ${command.name} takes ${more.length === 0 ? 'one ' : ''}${names}, got ${operands.map(given).join(' ')}`,
    )
  }
  return operands[0] ?? ''
}

/** All of it belongs to the program that is started; something has to be there. */
function handedOn(command: Command, args: readonly string[]): Pick<CommandCall, 'operand' | 'more' | 'flags' | 'rest'> {
  return { operand: operandOf(command, args.slice(0, 1)), more: [], flags: {}, rest: args }
}
