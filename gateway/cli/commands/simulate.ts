import { spawn } from 'node:child_process'
import { constants } from 'node:os'
import { fileURLToPath } from 'node:url'
import type { Command } from '../command.ts'

const SIMULATOR = fileURLToPath(new URL('../../../simulator/main.ts', import.meta.url))

/** `evenpull simulate SCENARIO`: the simulator, a program of its own that is only reached over a wire. */
export const simulate: Command = {
  name: 'simulate',
  summary: 'Run a simulated machine that speaks Modbus; it prints where',
  operand: { name: 'SCENARIO', help: 'the machine and what happens to it' },
  flags: {},
  notes: [
    'evenpull simulate --list names the scenarios.',
    'Flags are handed to the simulator; evenpull simulate SCENARIO --help lists them.',
  ],
  handsOnFlags: true,
  run: ({ rest }) => runChild([SIMULATOR, ...rest]),
}

/**
 * Runs a TypeScript program with this terminal. Resolves to its exit code, 128 + n after signal n.
 * A signal sent to this process is passed on; Ctrl-C in a terminal reaches both by itself. The channel says nothing:
 * its end tells the program that this process is gone, however it ended.
 */
function runChild(args: readonly string[]): Promise<number> {
  const child = spawn(process.execPath, ['--import', import.meta.resolve('tsx'), ...args], {
    stdio: ['inherit', 'inherit', 'inherit', 'ipc'],
  })
  const passOn = (signal: NodeJS.Signals) => {
    if (signal !== 'SIGINT' || !process.stdin.isTTY) child.kill(signal)
  }
  const signals = ['SIGINT', 'SIGTERM', 'SIGHUP'] as const
  for (const signal of signals) process.on(signal, passOn)
  return new Promise<number>((resolve, reject) => {
    child.once('error', reject)
    child.once('exit', (code, signal) => resolve(code ?? 128 + (signal === null ? 0 : constants.signals[signal])))
  }).finally(() => {
    for (const signal of signals) process.off(signal, passOn)
  })
}
