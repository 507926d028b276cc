import { DECIMAL_SIGNS, LANGUAGES } from '../../../shared/languages.ts'
import { shiftQuery } from '../../../shared/schemas/shift.ts'
import { namedUnits, UNITS_HELP } from '../../../shared/unit-choice.ts'
import { given } from '../../config/words.ts'
import { machineTimeZone, timeWordsIn } from '../../local-time.ts'
import { type ReadersChoice, readersChoice } from '../../reports/report-reader.ts'
import { summaryOf } from '../../shift/summaries.ts'
import type { Command, CommandCall, Flags } from '../command.ts'
import { noSuchZone, openRecorded } from '../open-recorded.ts'
import { choiceFlag, textFlag, usage } from '../options.ts'
import { isRecordId, reportRecord } from '../record-report.ts'
import { summaryInWords } from '../summary-words.ts'
import { RANGE_FLAGS, rangeOf } from '../time-range.ts'

/** `evenpull report CONFIG ZONE`: the facts of a shift, out of what was recorded. */
export const report: Command = {
  name: 'report',
  summary: 'Put the facts of a shift together, or print, check and compare a verification record',
  operand: { name: 'CONFIG', help: 'the YAML file of the gateway that recorded; it may be running' },
  more: [{ name: 'ZONE', help: 'id of the zone for a shift; id of a record for a verification' }],
  flags: {
    ...RANGE_FLAGS,
    check: { type: 'boolean', help: 'of a record: whether anything was changed since; exit code 1 if so' },
    html: { type: 'string', value: 'FILE', help: 'of a record: write the page that prints' },
    with: { type: 'string', value: 'ID', help: 'of a record: compare with an earlier one' },
    lang: { type: 'string', value: LANGUAGES.join('|'), help: 'with --html: language of the page' },
    decimal: {
      type: 'string',
      value: DECIMAL_SIGNS.join('|'),
      help: 'with --html: decimal sign, else that of the language',
    },
    units: {
      type: 'string',
      value: 'UNITS',
      help: `units of what is printed, not of --json (${UNITS_HELP}); SI where they are left out`,
    },
  },
  notes: [
    'Printed as text, in SI where --units names no others; --json is the same as GET /api/zones/ZONE/summary. At most 7 days.',
    'The page Shift prints it on two sheets, with its picture.',
    'Of a record --json is the same as GET /api/verifications/ID.',
    'What is printed here is English; a page is told in the language named, what people typed stays as it is.',
  ],
  async run(call) {
    const { operand, more, flags, json, out } = call
    const zone = more[0] ?? ''
    const choice = choiceOf(flags, isRecordId(zone), json)
    if (isRecordId(zone)) return ofRecord(operand, zone, choice, call)
    refuseRecordFlags(flags, zone)
    const { fromMs, toMs } = rangeOf(flags, Date.now())
    const query = shiftQuery.safeParse({ from: String(fromMs), to: String(toMs) })
    if (!query.success) throw usage(query.error.issues[0]?.message ?? 'this is no range')
    const { reader, loaded } = await openRecorded(operand)
    try {
      const missing = () => noSuchZone(zone, loaded)
      const sources = {
        minutes: {
          recorder: { minutes: async (id: string, from: number, to: number) => reader.minutes(id, from, to) },
          memory: NO_MEMORY,
        },
        history: async (id: string, from: number, to: number, points: number) => {
          const history = reader.history(id, from, to, points)
          if (history === undefined) throw missing()
          return history
        },
        events: async (asked: Parameters<typeof reader.events>[0]) => reader.events(asked),
      }
      // What is in the store has been, also when a replayed recording or another clock ran ahead of this one.
      const newestMs = reader.history(zone, fromMs, toMs, 2)?.keptToMs ?? 0
      const summary = await summaryOf(sources, loaded.config, zone, query.data, Math.max(Date.now(), newestMs))
      if (summary === undefined) throw missing()
      if (json) out(JSON.stringify(summary))
      else for (const line of summaryInWords(summary, timeWordsIn(machineTimeZone()), choice.units)) out(line)
      return 0
    } finally {
      reader.close()
    }
  },
}

/** Throws EVP_USAGE on units that are none. */
function unitsFlag(flags: Flags): string | undefined {
  const units = textFlag(flags, 'units')
  if (units === undefined || namedUnits(units) !== null) return units
  throw usage(`--units ${units}: expected ${UNITS_HELP}`)
}

/** Throws EVP_USAGE on another language or sign, on units that are none, and where no page is written that could be told in it. */
function choiceOf(flags: Flags, isRecord: boolean, isJson: boolean): ReadersChoice {
  const language = choiceFlag(flags, 'lang', LANGUAGES)
  const decimal = choiceFlag(flags, 'decimal', DECIMAL_SIGNS)
  const units = unitsFlag(flags)
  if (units !== undefined && (isJson || flags.check === true))
    throw usage('--units is for what people read: --json and --check are in SI, leave one of them out')
  const isAsked = language !== undefined || decimal !== undefined
  if (isAsked && !(isRecord && textFlag(flags, 'html') !== undefined))
    throw usage('--lang and --decimal are for the page of a record: name its id and --html FILE, or leave them out')
  return readersChoice(language, decimal, units)
}

/** A flag that would be passed over is refused: whoever gives it means a record. */
function refuseRecordFlags(flags: Flags, zone: string): void {
  const [flag] = ['check', 'html', 'with'].filter((name) => flags[name] !== undefined && flags[name] !== false)
  if (flag !== undefined)
    throw usage(
      `--${flag} is for a verification record, and ${given(zone)} is the id of none: GET /api/zones/ID/verifications lists them`,
    )
}

async function ofRecord(configPath: string, id: string, choice: ReadersChoice, call: CommandCall): Promise<number> {
  const { reader } = await openRecorded(configPath)
  try {
    return await reportRecord(reader, id, choice, call)
  } finally {
    reader.close()
  }
}

const NO_MEMORY = { minutes: async () => [] }
