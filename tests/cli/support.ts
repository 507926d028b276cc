import { cli } from '../../gateway/cli/main.ts'

export interface CliResult {
  readonly code: number
  readonly out: string
  readonly err: string
}

/** Runs the command line in this process. */
export async function evenpull(...args: string[]): Promise<CliResult> {
  const out: string[] = []
  const err: string[] = []
  const code = await cli(args, { out: (line) => out.push(line), err: (line) => err.push(line) })
  return { code, out: out.join('\n'), err: err.join('\n') }
}
