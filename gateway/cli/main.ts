import { fileURLToPath } from 'node:url'
import { didYouMean } from '../config/nearest.ts'
import { VERSION } from '../version.ts'
import { parseCommandLine } from './arguments.ts'
import type { Command } from './command.ts'
import { COMMANDS } from './commands.ts'
import { type ExitCode, exitCodeOf } from './exit-codes.ts'
import { commandHelp, overview } from './help.ts'
import { usage } from './options.ts'
import { asEvenpullError, errorsAsJson, errorsAsText } from './print-errors.ts'
import { type Secrets, terminalSecrets } from './secrets.ts'

/** Where a command writes: results and asked-for help to `out`, complaints to `err`. */
export interface CliOutput {
  readonly out: (line: string) => void
  readonly err: (line: string) => void
  /** Where passwords come from; the terminal or standard input when absent. */
  readonly secrets?: Secrets
}

const TERMINAL: CliOutput = { out: (line) => console.log(line), err: (line) => console.error(line) }

/**
 * Runs `evenpull args…`. Resolves to the exit code when the command has ended; never rejects.
 * With `--json` a failure is printed as JSON on `out`, else as text on `err`.
 */
export async function cli(args: readonly string[], output: CliOutput = TERMINAL): Promise<number> {
  const [name, ...rest] = args
  const json = rest.includes('--json')
  try {
    return name === undefined ? noCommand(output) : await dispatch(name, rest, json, output)
  } catch (thrown) {
    const error = asEvenpullError(thrown)
    if (json) output.out(errorsAsJson(error))
    else for (const line of errorsAsText(error)) output.err(line)
    return exitCodeOf(error.code)
  }
}

function noCommand(output: CliOutput): ExitCode {
  output.err(overview(COMMANDS))
  return 2
}

async function dispatch(name: string, args: readonly string[], json: boolean, output: CliOutput): Promise<number> {
  if (name === '--version') return printed(output, VERSION)
  if (name === '--help' || name === '-h' || name === 'help') return help(args[0], output)
  const command = commandNamed(name)
  const asksHelp = command.handsOnFlags ? args[0] === '--help' : args.includes('--help')
  if (asksHelp) return printed(output, commandHelp(command))
  return command.run({ ...parseCommandLine(command, args), json, secrets: terminalSecrets, ...output })
}

function help(name: string | undefined, output: CliOutput): ExitCode {
  return printed(output, name === undefined ? overview(COMMANDS) : commandHelp(commandNamed(name)))
}

function printed(output: CliOutput, text: string): ExitCode {
  output.out(text)
  return 0
}

function commandNamed(name: string): Command {
  const command = COMMANDS.find((candidate) => candidate.name === name)
  if (command !== undefined) return command
  const names = COMMANDS.map((candidate) => candidate.name)
  const what = name.startsWith('-') ? `expected a command before ${name}` : `there is no command ${name}`
  throw usage(`${what}${didYouMean(name, names) || `; the commands are ${names.join(', ')}`}`)
}

if (process.argv[1] === fileURLToPath(import.meta.url)) process.exitCode = await cli(process.argv.slice(2))
