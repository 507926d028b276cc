import { type CliOutput, cli } from '../../gateway/cli/main.ts'

export interface CliResult {
  readonly code: number
  readonly out: string
  readonly err: string
}

/** Runs the command line in this process. */
export const evenpull = (...args: string[]): Promise<CliResult> => evenpullWith({}, ...args)

/** The same with something in its output replaced: where passwords come from, for example. */
export async function evenpullWith(given: Partial<CliOutput>, ...args: string[]): Promise<CliResult> {
  const out: string[] = []
  const err: string[] = []
  const code = await cli(args, { out: (line) => out.push(line), err: (line) => err.push(line), ...given })
  return { code, out: out.join('\n'), err: err.join('\n') }
}
