import { spawn } from 'node:child_process'
import { fileURLToPath } from 'node:url'

export const EVENPULL = fileURLToPath(new URL('../../../gateway/cli/evenpull.mjs', import.meta.url))

/** Runs a command to its end, from a folder that is not the project's. */
export function runEvenpull(
  cwd: string,
  ...args: string[]
): Promise<{ code: number | null; out: string; err: string }> {
  const child = spawn(process.execPath, [EVENPULL, ...args], { cwd, stdio: ['ignore', 'pipe', 'pipe'] })
  let out = ''
  let err = ''
  child.stdout.on('data', (chunk) => {
    out += String(chunk)
  })
  child.stderr.on('data', (chunk) => {
    err += String(chunk)
  })
  return new Promise((resolve) => child.once('close', (code) => resolve({ code, out, err })))
}
