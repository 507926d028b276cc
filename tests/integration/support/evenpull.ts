import { fileURLToPath } from 'node:url'
import { start } from './processes.ts'

const EVENPULL = fileURLToPath(new URL('../../../gateway/cli/evenpull.mjs', import.meta.url))

/** The command as a user gives it, with this on its standard input; resolves to its exit code and what it said. */
export function evenpull(input: string, ...args: string[]): Promise<{ code: number | null; out: string; err: string }> {
  const child = start(process.execPath, [EVENPULL, ...args])
  let [out, err] = ['', '']
  child.stdout.on('data', (chunk) => {
    out += chunk
  })
  child.stderr.on('data', (chunk) => {
    err += chunk
  })
  child.stdin.end(input)
  return new Promise((resolve) => child.once('close', (code) => resolve({ code, out, err })))
}
