import { parseArgs } from 'node:util'
import { EvenpullError } from '../shared/errors.ts'

/** The command line of the simulator. */
export interface Options {
  readonly scenario: string
  readonly host: string
  /** Port of the first and the second device; null takes the scenario's own, 0 a free one. */
  readonly ports: readonly (number | null)[]
  readonly seed: number
  readonly rtuPath: string | null
  readonly baud: number
  readonly iioFolder: string | null
  readonly writeConfig: string | null
  readonly json: boolean
  readonly control: boolean
  readonly timeScale: number
}

/** A training desk instead of one scenario: its own lines, its own config. */
export interface TrainingOptions {
  readonly training: true
  /** The config to write; progress is kept beside it. */
  readonly configPath: string
  readonly json: boolean
}

export const HELP = `usage: node --import tsx simulator/main.ts SCENARIO [options]
       node --import tsx simulator/main.ts --training --write-config FILE [--json]

A converting line that is not there, on the real wire: Modbus TCP, Modbus RTU, Linux IIO.

  --host ADDRESS       address to listen on (127.0.0.1)
  --port PORT          TCP port of the amplifier (15020); 0 takes a free one
  --port2 PORT         TCP port of the current-input module (15021); 0 takes a free one
  --seed NUMBER        the same seed gives the same run (1)
  --rtu PATH           also answer as Modbus RTU on this serial path: amplifier unit 1, module unit 2
  --baud NUMBER        baud rate of --rtu, 8 data bits, even parity, 1 stop bit (115200)
  --iio FOLDER         also write the first zone's cells as iio:device0 in this folder, 50 times a second
  --write-config FILE  write the gateway's config for this scenario with the ports really in use
  --time-scale NUMBER  simulated seconds per second (1)
  --training           lines with hidden faults behind a training desk; the config names the desk
  --control            take commands as JSON lines on standard input
  --json               one line {"ready":true,"endpoints":[…]} instead of text; errors as JSON too
  --list               list the scenarios
  --help               this text

Exit codes: 0 stopped by a signal, 1 could not start or failed, 2 wrong command line.
`

const SPEC = {
  host: { type: 'string', default: '127.0.0.1' },
  port: { type: 'string' },
  port2: { type: 'string' },
  seed: { type: 'string', default: '1' },
  rtu: { type: 'string' },
  baud: { type: 'string', default: '115200' },
  iio: { type: 'string' },
  'write-config': { type: 'string' },
  'time-scale': { type: 'string', default: '1' },
  control: { type: 'boolean', default: false },
  training: { type: 'boolean', default: false },
  json: { type: 'boolean', default: false },
  list: { type: 'boolean', default: false },
  help: { type: 'boolean', default: false },
} as const

/** What the words ask for: a run, or only a text. Throws EVP_USAGE naming the word that is wrong. */
export function parseOptions(words: readonly string[]): Options | TrainingOptions | 'help' | 'list' {
  const { values, positionals } = split(words)
  if (values.help) return 'help'
  if (values.list) return 'list'
  const [scenario, ...rest] = positionals
  if (values.training) return trainingOptions(values['write-config'], values.json, positionals)
  if (scenario === undefined) throw new EvenpullError('EVP_USAGE', 'name a scenario; --list shows them')
  if (rest.length > 0) throw new EvenpullError('EVP_USAGE', `one scenario at a time: "${rest.join(' ')}" is too much`)
  return {
    scenario,
    host: values.host,
    ports: [portOf('--port', values.port), portOf('--port2', values.port2)],
    seed: whole('--seed', values.seed, 0, 0xffffffff),
    rtuPath: values.rtu ?? null,
    baud: whole('--baud', values.baud, 300, 921_600),
    iioFolder: values.iio ?? null,
    writeConfig: values['write-config'] ?? null,
    json: values.json,
    control: values.control,
    timeScale: timeScaleOf(values['time-scale']),
  }
}

function trainingOptions(configPath: string | undefined, json: boolean, scenarios: readonly string[]): TrainingOptions {
  if (scenarios.length > 0) throw new EvenpullError('EVP_USAGE', '--training has lines of its own: name no scenario')
  if (configPath === undefined) throw new EvenpullError('EVP_USAGE', '--training needs --write-config FILE')
  return { training: true, configPath, json }
}

function split(words: readonly string[]) {
  try {
    return parseArgs({ args: [...words], options: SPEC, allowPositionals: true })
  } catch (error) {
    throw new EvenpullError('EVP_USAGE', error instanceof Error ? error.message : String(error), { cause: error })
  }
}

function portOf(name: string, text: string | undefined): number | null {
  return text === undefined ? null : whole(name, text, 0, 65_535)
}

function whole(name: string, text: string, low: number, high: number): number {
  const value = /^\d+$/.test(text) ? Number(text) : Number.NaN
  if (value >= low && value <= high) return value
  throw new EvenpullError('EVP_USAGE', `${name}: expected a whole number from ${low} to ${high}, got "${text}"`)
}

/** Beyond this the machine's steps no longer fit into a second. */
const FASTEST = 50

function timeScaleOf(text: string): number {
  const value = text.trim() === '' ? Number.NaN : Number(text)
  if (value > 0 && value <= FASTEST) return value
  throw new EvenpullError('EVP_USAGE', `--time-scale: expected a number above 0, at most ${FASTEST}, got "${text}"`)
}
