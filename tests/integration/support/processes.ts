import { type ChildProcessByStdio, spawn } from 'node:child_process'
import { existsSync } from 'node:fs'
import type { Readable, Writable } from 'node:stream'

export type PipedProcess = ChildProcessByStdio<Writable, Readable, Readable>

/** Starts a program with piped streams; what it complains about is kept for the error of `untilPrinted`. */
export function start(command: string, args: readonly string[]): PipedProcess {
  return spawn(command, [...args], { stdio: ['pipe', 'pipe', 'pipe'] })
}

/** Resolves with the match when the program has printed it; rejects when it ends or 45 s pass before. */
export function untilPrinted(child: PipedProcess, pattern: RegExp): Promise<RegExpMatchArray> {
  return new Promise((resolve, reject) => {
    let out = ''
    let complaints = ''
    const settle = (act: () => void) => {
      clearTimeout(timer)
      child.stderr.off('data', complain)
      child.stdout.off('data', read)
      child.off('error', reject)
      child.off('exit', ended)
      act()
    }
    const complain = (chunk: unknown) => {
      complaints += String(chunk)
    }
    const read = (chunk: unknown) => {
      out += String(chunk)
      const match = out.match(pattern)
      if (match !== null) settle(() => resolve(match))
    }
    const ended = (code: number | null) => settle(() => reject(new Error(`ended with ${code}: ${complaints}`)))
    const timer = setTimeout(
      () => settle(() => reject(new Error(`no ${pattern} within 45 s: ${out}${complaints}`))),
      45_000,
    )
    child.stderr.on('data', complain)
    child.stdout.on('data', read)
    child.once('error', reject)
    child.once('exit', ended)
    // Taking the last listener away pauses a stream: what nobody waits for is read and thrown away.
    child.stdout.resume()
    child.stderr.resume()
  })
}

/** Ends a program started here and waits until it is gone. */
export function end(child: PipedProcess): Promise<void> {
  if (child.exitCode !== null || child.signalCode !== null) return Promise.resolve()
  return new Promise((resolve) => {
    child.once('exit', () => resolve())
    child.kill('SIGKILL')
  })
}

/** Polls until the condition holds; rejects after `withinMs`. */
export async function until(what: string, condition: () => boolean, withinMs = 30_000): Promise<void> {
  const deadline = Date.now() + withinMs
  while (!condition()) {
    if (Date.now() > deadline) throw new Error(`${what}: not within ${withinMs} ms`)
    await new Promise((resolve) => setTimeout(resolve, 5))
  }
}

export function untilExists(path: string): Promise<void> {
  return until(`${path} exists`, () => existsSync(path))
}
