import { createWriteStream, renameSync, rmSync } from 'node:fs'
import { resolve } from 'node:path'
import { Readable } from 'node:stream'
import { pipeline } from 'node:stream/promises'
import { EvenpullError } from '../../../shared/errors.ts'
import { EXPORT_FORMATS } from '../../../shared/schemas/export.ts'
import { exportFacts, exportFileName } from '../../export/export-facts.ts'
import { blocksOf, type ExportedChunk, writeExport } from '../../export/write-export.ts'
import { VERSION } from '../../version.ts'
import type { Command } from '../command.ts'
import { noSuchZone, openRecorded } from '../open-recorded.ts'
import { choiceFlag, textFlag } from '../options.ts'
import { RANGE_FLAGS, rangeOf } from '../time-range.ts'

/** Said so often while it runs. */
const SAY_EVERY_SHARE = 0.1

/** `evenpull export CONFIG ZONE`: what was recorded, as a file. */
export const exportCommand: Command = {
  name: 'export',
  summary: 'Write the recorded samples of a zone to a CSV or Parquet file',
  operand: { name: 'CONFIG', help: 'the YAML file of the gateway that recorded; it may be running' },
  more: [{ name: 'ZONE', help: 'id of the zone' }],
  flags: {
    ...RANGE_FLAGS,
    format: { type: 'string', value: 'FORMAT', help: 'csv or parquet (csv)' },
    out: { type: 'string', value: 'FILE', help: 'where to (named after zone and range, in this folder)' },
  },
  notes: [
    'Every sample at full rate with its quality, in SI; units, channels and config revisions stand in the file.',
    'A CSV can be played again: evenpull replay FILE. The file appears when it is whole; Ctrl-C leaves nothing.',
  ],
  async run({ operand, more, flags, json, out, err }) {
    const zone = more[0] ?? ''
    const range = { zone, ...rangeOf(flags, Date.now()) }
    const format = choiceFlag(flags, 'format', EXPORT_FORMATS) ?? 'csv'
    const { reader, loaded } = await openRecorded(operand)
    try {
      const kept = reader.rangeFacts(zone, range.fromMs, range.toMs)
      if (kept === undefined) throw noSuchZone(zone, loaded)
      const file = resolve(textFlag(flags, 'out') ?? exportFileName(range, format))
      const facts = exportFacts(range, loaded.config, kept, VERSION, Date.now())
      const say = (share: number) => err(`${Math.round(share * 100)} % of the range`)
      const rows = await writeWhole(file, writeExport(format, facts, blocksOf(reader, facts)), range, say)
      out(json ? JSON.stringify({ ok: true, file, rows, format, ...range }) : `${file}: ${rows} rows`)
      return 0
    } finally {
      reader.close()
    }
  },
}

/** Writes beside the place and moves it there when it is whole. Resolves to its rows; rejects with EVP_STORE_WRITE. */
async function writeWhole(
  file: string,
  chunks: AsyncGenerator<ExportedChunk>,
  { fromMs, toMs }: { readonly fromMs: number; readonly toMs: number },
  say: (share: number) => void,
): Promise<number> {
  const part = `${file}.part`
  const remove = () => rmSync(part, { force: true })
  process.once('exit', remove)
  let rows = 0
  let said = 0
  const bytes = async function* () {
    for await (const chunk of chunks) {
      yield chunk.bytes
      rows = chunk.rows
      const share = chunk.newestMs === null ? 0 : (chunk.newestMs - fromMs) / (toMs - fromMs)
      if (share < said + SAY_EVERY_SHARE) continue
      said = share
      say(share)
    }
  }
  try {
    await pipeline(Readable.from(bytes()), createWriteStream(part))
    renameSync(part, file)
    return rows
  } catch (error) {
    if (error instanceof EvenpullError) throw error
    const message = error instanceof Error ? error.message : String(error)
    throw new EvenpullError('EVP_STORE_WRITE', `${file} cannot be written: ${message}`, {
      cause: error,
      remedy: 'See to free space and to the rights on the folder, or choose another with --out.',
    })
  } finally {
    remove()
    process.off('exit', remove)
  }
}
