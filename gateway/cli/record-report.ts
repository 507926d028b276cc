import { writeFileSync } from 'node:fs'
import { unitsWords } from '../../lib/summary/units-words.ts'
import { compareRecords } from '../../lib/verification/compare.ts'
import { EvenpullError } from '../../shared/errors.ts'
import type { RecordEntry, VerificationRecord } from '../../shared/schemas/verification.ts'
import type { RecordComparison } from '../../shared/schemas/verification-compare.ts'
import { SI_CHOICE, type UnitChoice } from '../../shared/unit-choice.ts'
import { machineTimeZone, type TimeWords, timeWordsIn } from '../local-time.ts'
import type { StoreReader } from '../recorder/store-reader.ts'
import { recordReport } from '../reports/record-report.ts'
import type { ReadersChoice } from '../reports/report-reader.ts'
import { phaseWords, STANDING_WORDS } from '../reports/words.ts'
import { checkRecord, isPhoto, type RecordReader, readPhoto, readRecord } from '../verification/record-store.ts'
import type { CommandCall } from './command.ts'
import { toldInUnits } from './figure-words.ts'
import { textFlag } from './options.ts'

/** A record of a verification is known by its key. */
export const isRecordId = (text: string): boolean => /^[0-9a-f]{8}(-[0-9a-f]{4}){3}-[0-9a-f]{12}$/.test(text)

const documentsOf = (reader: StoreReader): RecordReader => ({
  get: async (kind, id) => reader.document(kind, id),
  list: async (kind, fromId) => reader.documents(kind, fromId),
})

/** `evenpull report CONFIG RECORD`: checks it, writes its page, or prints what it holds. Resolves to the exit code. */
export async function reportRecord(
  reader: StoreReader,
  id: string,
  choice: ReadersChoice,
  { flags, json, out }: CommandCall,
): Promise<number> {
  const documents = documentsOf(reader)
  if (flags.check === true) return check(reader, id, { json, out })
  const record = await readRecord(documents, id)
  const withId = textFlag(flags, 'with')
  const comparison = withId === undefined ? null : compareRecords(await readRecord(documents, withId), record)
  const file = textFlag(flags, 'html')
  if (file !== undefined) {
    const photos = new Map<string, Buffer>()
    for (const entry of record.entries) {
      const photo = entry.kind === 'photo' ? await readPhoto(documents, entry.sha256) : undefined
      if (entry.kind === 'photo' && photo !== undefined && isPhoto(photo, entry.sha256)) photos.set(entry.sha256, photo)
    }
    write(
      file,
      recordReport({
        record,
        photos,
        comparison,
        printedMs: Date.now(),
        timeZone: machineTimeZone(),
        paper: null,
        choice,
      }),
    )
    out(json ? JSON.stringify({ ok: true, file }) : `${file}: ${record.head.title}`)
    return 0
  }
  const { units = SI_CHOICE } = choice
  if (json) out(JSON.stringify(record))
  else for (const line of inWords(record, timeWordsIn(machineTimeZone()), units)) out(line)
  if (!json && comparison !== null) for (const line of changesInWords(comparison, units)) out(line)
  return 0
}

async function check(
  reader: StoreReader,
  id: string,
  { json, out }: Pick<CommandCall, 'json' | 'out'>,
): Promise<number> {
  const told = await checkRecord(documentsOf(reader), async (query) => reader.events(query), id)
  if (json) out(JSON.stringify({ ok: told.whole, ...told }))
  else {
    for (const { seq, what } of told.broken) out(plain(`${seq === 0 ? 'head' : `entry ${seq}`}: ${what}`))
    out(
      `${id}: ${told.whole ? `whole, ${told.entries} ${told.entries === 1 ? 'entry' : 'entries'}, digest ${told.digest}` : 'not what was written'}`,
    )
  }
  return told.whole ? 0 : 1
}

function write(file: string, page: string): void {
  try {
    writeFileSync(file, page)
  } catch (cause) {
    throw new EvenpullError(
      'EVP_STORE_WRITE',
      `${file} cannot be written: ${(cause as NodeJS.ErrnoException).code ?? String(cause)}`,
      {
        remedy: 'Name a file in a folder that this user may write.',
        cause,
      },
    )
  }
}

function inWords({ head, entries, digest, signed }: VerificationRecord, time: TimeWords, units: UnitChoice): string[] {
  const told = toldInUnits(units)
  return [
    `${head.title}: verification of ${head.zoneName}, begun ${time(head.begunMs)} by ${head.begunBy}, ${signed ? 'signed' : 'open'}`,
    unitsWords(units),
    ...entries.flatMap((entry) => entryInWords(entry, time, told)),
    `digest ${digest}`,
  ].map(plain)
}

function changesInWords(
  { changed, unchanged, notComparable, onReturn, notes }: RecordComparison,
  units: UnitChoice,
): string[] {
  const told = toldInUnits(units)
  return [
    ...notes.map((note) => `compared: ${told(note)}`),
    ...(onReturn?.changed ?? []).map(({ sentence }) => `as found on return, changed: ${told(sentence)}`),
    ...changed.map(({ sentence }) => `changed: ${told(sentence)}`),
    `${changed.length} changed, ${unchanged.length} not told apart, ${notComparable.length} not comparable`,
  ].map(plain)
}

function entryInWords(entry: RecordEntry, time: TimeWords, told: (text: string) => string): string[] {
  const at = `${String(entry.seq).padStart(3)}  ${time(entry.timeMs)}  ${entry.who}  `
  switch (entry.kind) {
    case 'result': {
      const { title, phase, result } = entry
      return [`${at}${title} (${phaseWords(phase)}): ${STANDING_WORDS[result.state]}`, `     ${told(result.sentence)}`]
    }
    case 'not-done':
      return [`${at}${entry.title}: not done, ${entry.reason}`]
    case 'photo':
      return [`${at}photo ${entry.caption}`]
    case 'signature':
      return [`${at}signed by ${entry.name}`]
    case 'correction':
      return [`${at}correction of entry ${entry.of}: ${entry.text}`]
    case 'note':
      return [`${at}note: ${entry.text}`]
  }
}

/** What people typed must not command the terminal. */
// biome-ignore lint/suspicious/noControlCharactersInRegex: these are what is taken out
const plain = (text: string): string => text.replace(/[\u0000-\u001f\u007f-\u009f]/g, ' ')
