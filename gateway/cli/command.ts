import type { Secrets } from './secrets.ts'

/** A flag of a command. Text flags are checked by the command itself, with `options.ts`. */
export interface FlagSpec {
  readonly type: 'string' | 'boolean'
  /** What stands for the value in the help: `--port PORT`. */
  readonly value?: string
  readonly help: string
}

/** What a command is given to work with. */
export interface CommandCall {
  /** The first word after the command: a config, a scenario, an address, a file. */
  readonly operand: string
  /** The words after it, of a command that takes more than one. */
  readonly more: readonly string[]
  readonly flags: Flags
  readonly json: boolean
  /** Everything after the command, as typed; only for one that hands it on. */
  readonly rest: readonly string[]
  readonly out: (line: string) => void
  readonly err: (line: string) => void
  readonly secrets: Secrets
}

export type Flags = Readonly<Record<string, string | boolean | undefined>>

/** One command: one file, one line in the registry. */
export interface Command {
  readonly name: string
  readonly summary: string
  readonly operand: { readonly name: string; readonly help: string; readonly optional?: true }
  /** Further words, in their order; the optional ones last. */
  readonly more?: readonly { readonly name: string; readonly help: string; readonly optional?: true }[]
  readonly flags: Readonly<Record<string, FlagSpec>>
  /** More for `--help`: a line an entry. */
  readonly notes: readonly string[]
  /** What follows it belongs to the program it starts. */
  readonly handsOnFlags?: boolean
  /** Resolves to the exit code; rejects with EvenpullError, which `exit-codes.ts` turns into one. */
  run(call: CommandCall): Promise<number>
}
