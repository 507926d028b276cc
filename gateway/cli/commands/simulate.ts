import { spawn } from 'node:child_process'
import { constants } from 'node:os'
import { join, resolve } from 'node:path'
import { fileURLToPath } from 'node:url'
import { parseCommandLine } from '../arguments.ts'
import type { Command, CommandCall } from '../command.ts'
import { textFlag, usage, wholeFlag } from '../options.ts'
import { runTrainingGroup } from '../training-group.ts'

const SIMULATOR = fileURLToPath(new URL('../../../simulator/main.ts', import.meta.url))

/** Where the training machine's config and its trainees' progress are kept, unless told otherwise. */
const TRAINING_CONFIG = join('.evenpull', 'training', 'line.yaml')

/** Words that belong to the simulator itself even where no scenario is named. */
const OF_THE_SIMULATOR = ['--list']

/**
 * `evenpull simulate SCENARIO`: the simulator, a program of its own that is only reached over a wire. Without a scenario:
 * a training machine with hidden faults, its gateway and its page.
 */
export const simulate: Command = {
  name: 'simulate',
  summary: 'Run a simulated machine that speaks Modbus; without a scenario, train at one with hidden faults',
  operand: {
    name: '[SCENARIO]',
    help: 'the machine and what happens to it; absent: the training machine',
    optional: true,
  },
  flags: {},
  notes: [
    'evenpull simulate --list names the scenarios.',
    'Flags are handed to the simulator; evenpull simulate SCENARIO --help lists them.',
    'evenpull simulate [--training] [--port PORT] [--host HOST] [--config FILE] [--json] starts the training machine with',
    `its gateway and page, and prints the instructor’s key; FILE (${TRAINING_CONFIG}) is written, progress kept beside it.`,
  ],
  handsOnFlags: true,
  run: (call) => (isTraining(call.rest) ? train(call) : runChild([SIMULATOR, ...call.rest])),
}

function isTraining(rest: readonly string[]): boolean {
  const [first] = rest
  return first === undefined || (first.startsWith('-') && !OF_THE_SIMULATOR.includes(first))
}

async function train({ rest, out, err }: CommandCall): Promise<number> {
  const { flags, operand } = parseCommandLine(TRAINING, rest)
  if (operand !== '') throw usage(`the training machine has lines of its own: ${operand} is too much`)
  return runTrainingGroup({
    configPath: resolve(textFlag(flags, 'config') ?? TRAINING_CONFIG),
    port: wholeFlag(flags, 'port', 0, 65_535) ?? null,
    host: textFlag(flags, 'host') ?? null,
    json: flags.json === true,
    out,
    err,
  })
}

/** The same command where it is a training machine's. */
const TRAINING: Command = {
  ...simulate,
  handsOnFlags: false,
  flags: {
    training: { type: 'boolean', help: 'the training machine, as without a scenario' },
    config: { type: 'string', value: 'FILE', help: 'the config to write; progress is kept beside it' },
    port: { type: 'string', value: 'PORT', help: 'serve the page on this port; 0 takes a free one' },
    host: { type: 'string', value: 'HOST', help: 'bind to this address; others than loopback need users' },
  },
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
