import { createInterface } from 'node:readline'
import { EvenpullError } from '../shared/errors.ts'
import { runControlLine } from './control.ts'
import { HELP, type Options, parseOptions, type TrainingOptions } from './options.ts'
import { SCENARIOS } from './scenarios/registry.ts'
import { startSimulator } from './simulator.ts'
import { startTraining } from './training/start-training.ts'

/** The command: reads its words, starts, says where it listens, stops on a signal. */
async function main(words: readonly string[]): Promise<void> {
  const options = parseOptions(words)
  if (options === 'help') {
    process.stdout.write(HELP)
    return
  }
  if (options === 'list') {
    for (const { id, title } of SCENARIOS) process.stdout.write(`${id}: ${title}\n`)
    return
  }
  if ('training' in options) await runTraining(options)
  else await run(options)
}

async function run(options: Options): Promise<void> {
  endWithStarter()
  const simulator = await startSimulator(options)
  const stop = stopWith(() => simulator.close())
  if (options.json) {
    process.stdout.write(`${JSON.stringify({ ready: true, endpoints: simulator.endpoints })}\n`)
  } else {
    for (const { kind, where, device, unit } of simulator.endpoints) {
      process.stdout.write(`${kind} ${where}: ${device}${unit === null ? '' : `, unit ${unit}`}\n`)
    }
  }
  if (options.control) {
    const lines = createInterface({ input: process.stdin })
    lines.on('line', (line) => {
      if (line.trim() !== '') process.stdout.write(`${JSON.stringify(runControlLine(line, simulator))}\n`)
    })
    // Whoever held the other end is gone: a simulator under control does not outlive its controller.
    lines.on('close', stop)
  }
}

/** The first line on standard output alone tells the instructor's key. */
async function runTraining({ configPath, json }: TrainingOptions): Promise<void> {
  endWithStarter()
  const training = await startTraining(configPath, (line) => process.stderr.write(`${line}\n`))
  stopWith(() => training.close())
  const { instructorKey } = training
  if (json) process.stdout.write(`${JSON.stringify({ ready: true, configPath, instructorKey })}\n`)
  else process.stdout.write(`${configPath} is written; the instructor’s key is ${instructorKey}\n`)
}

/** Ends once, in order, on a signal or when it is called. */
function stopWith(close: () => Promise<void>): () => void {
  let stopping = false
  const stop = () => {
    if (stopping) return
    stopping = true
    void close().then(() => process.exit(0))
  }
  process.on('SIGINT', stop)
  process.on('SIGTERM', stop)
  return stop
}

/** Started by another process over a channel: it does not outlive its starter, also when that ends while this starts. */
function endWithStarter(): void {
  if (process.send === undefined) return
  process.once('disconnect', () => process.exit(0))
  // Listening must not keep a simulator alive that could not start.
  process.channel?.unref()
  if (!process.connected) process.exit(0)
}

function fail(error: unknown, json: boolean): void {
  const known =
    error instanceof EvenpullError
      ? error
      : new EvenpullError('EVP_INTERNAL', error instanceof Error ? (error.stack ?? error.message) : String(error))
  process.stderr.write(json ? `${JSON.stringify(known)}\n` : `${known.code}: ${known.message}\n${known.remedy}\n`)
  process.exitCode = known.code === 'EVP_USAGE' ? 2 : 1
}

const words = process.argv.slice(2)
// Whoever read what this says has enough (`| head`).
for (const stream of [process.stdout, process.stderr])
  stream.on('error', (error: NodeJS.ErrnoException) => {
    if (error.code !== 'EPIPE') throw error
  })
process.on('uncaughtException', (error) => {
  fail(error, words.includes('--json'))
  process.exit()
})
main(words).catch((error: unknown) => fail(error, words.includes('--json')))
