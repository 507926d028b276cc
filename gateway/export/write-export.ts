import { ticksOf } from '../../lib/store-codec/times.ts'
import { EvenpullError } from '../../shared/errors.ts'
import type { ExportFormat } from '../../shared/schemas/export.ts'
import type { SampleBlock } from '../recorder/read-samples.ts'
import type { StoreReader } from '../recorder/store-reader.ts'
import { csvOf } from './csv.ts'
import type { ExportFacts } from './export-facts.ts'
import { parquetOf } from './parquet.ts'

interface Format {
  /** As people call it. */
  readonly title: string
  readonly contentType: string
  readonly write: (facts: ExportFacts, blocks: AsyncIterable<SampleBlock>) => AsyncGenerator<Uint8Array<ArrayBuffer>>
}

/** Every format. A new one is a file beside this and a row here. */
export const FORMATS: Readonly<Record<ExportFormat, Format>> = {
  csv: { title: 'CSV', contentType: 'text/csv; charset=utf-8', write: csvOf },
  parquet: { title: 'Parquet', contentType: 'application/vnd.apache.parquet', write: parquetOf },
}

/** A piece of a file, and how far the samples are through with it. */
export interface ExportedChunk {
  readonly bytes: Uint8Array<ArrayBuffer>
  readonly rows: number
  /** Epoch ms of the newest row; null before the first. */
  readonly newestMs: number | null
}

/** The file, piece after piece. Throws EVP_NOT_FOUND before the first one when the range holds no sample. */
export async function* writeExport(
  format: ExportFormat,
  facts: ExportFacts,
  blocks: AsyncGenerator<SampleBlock>,
): AsyncGenerator<ExportedChunk> {
  const first = await blocks.next()
  if (first.done === true)
    throw new EvenpullError('EVP_NOT_FOUND', `nothing was recorded of zone ${facts.zone} in this range`, {
      remedy: 'Choose a range that holds samples: the history says from when to when they are kept.',
    })
  let rows = 0
  let newestMs: number | null = null
  const counted = async function* () {
    for (let block: SampleBlock | undefined = first.value; block !== undefined; block = await next(blocks)) {
      yield block
      rows += block.timesMs.length
      newestMs = block.timesMs.at(-1) ?? newestMs
    }
  }
  for await (const bytes of FORMATS[format].write(facts, counted())) yield { bytes, rows, newestMs }
}

async function next(blocks: AsyncGenerator<SampleBlock>): Promise<SampleBlock | undefined> {
  const { done, value } = await blocks.next()
  return done === true ? undefined : value
}

/** Samples of a zone out of an open store, block after block. */
export async function* blocksOf(reader: StoreReader, { zone, fromMs, toMs }: ExportFacts): AsyncGenerator<SampleBlock> {
  const toTick = ticksOf(toMs)
  for (let from: number | null = ticksOf(fromMs); from !== null; ) {
    const page = reader.samplePage(zone, from, toTick)
    if (page?.block != null) yield page.block
    from = page?.nextTick ?? null
  }
}
