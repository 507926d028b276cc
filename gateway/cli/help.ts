import { VERSION } from '../version.ts'
import { COMMON_FLAGS } from './arguments.ts'
import type { Command, FlagSpec } from './command.ts'
import { EXIT_CODES } from './exit-codes.ts'
import { columns } from './table.ts'

const exitCodes = () => [
  '',
  'Exit codes',
  ...columns(Object.entries(EXIT_CODES).map(([code, text]) => [`  ${code}`, text])),
]

/** What the product can do, a line a command. */
export function overview(commands: readonly Command[]): string {
  return [
    `Evenpull ${VERSION}: live tension of both ends of a measuring roller. It only reads; it never writes to a device.`,
    '',
    'evenpull COMMAND …',
    '',
    ...columns(commands.map((command) => [`  ${command.name} ${operandsOf(command)}`, command.summary])),
    '',
    'evenpull COMMAND --help says more about one; evenpull --version prints the version.',
    ...exitCodes(),
  ].join('\n')
}

const operandsOf = ({ operand, more = [] }: Command) => [operand, ...more].map(({ name }) => name).join(' ')

/** All about one command. */
export function commandHelp(command: Command): string {
  const { name, operand, more = [], summary, flags, notes } = command
  const all: Record<string, FlagSpec> = command.handsOnFlags ? flags : { ...flags, ...COMMON_FLAGS }
  const rows = Object.entries(all).map(([flag, spec]) => [
    `  --${flag}${spec.value === undefined ? '' : ` ${spec.value}`}`,
    spec.help,
  ])
  return [
    `evenpull ${name} ${operandsOf(command)} [flags]`,
    '',
    `${summary}.`,
    '',
    ...columns([...[operand, ...more].map((word) => [`  ${word.name}`, word.help]), ...rows]),
    ...(notes.length === 0 ? [] : ['', ...notes]),
    ...exitCodes(),
  ].join('\n')
}
