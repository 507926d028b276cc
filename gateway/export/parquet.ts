import type { SchemaElement } from 'hyparquet'
import { ByteWriter, ParquetWriter } from 'hyparquet-writer'
import type { SampleBlock } from '../recorder/read-samples.ts'
import type { ExportFacts } from './export-facts.ts'
import { placed } from './rows.ts'

/** Rows a group: large enough to compress, small enough to hold. */
const ROWS_A_GROUP = 50_000
/** Key of the file's own metadata: the facts as JSON. */
export const FACTS_KEY = 'evenpull'

interface Group {
  readonly times: bigint[]
  readonly values: (number | null)[][]
  readonly qualities: string[][]
  readonly revisions: string[]
}

/**
 * The samples as Apache Parquet, row group after row group: `time` in µs of UTC, a double and a quality a column (null
 * where there is no good sample), the revision. Units and revisions stand in the key-value metadata. A file that was cut
 * off has no footer, so that no reader takes it for whole.
 */
export async function* parquetOf(
  facts: ExportFacts,
  blocks: AsyncIterable<SampleBlock>,
): AsyncGenerator<Uint8Array<ArrayBuffer>> {
  const writer = new ByteWriter(1 << 20)
  const file = new ParquetWriter({
    writer,
    schema: schemaOf(facts),
    kvMetadata: metadataOf(facts),
    createdBy: facts.product,
  })
  let group = emptyGroup(facts)
  for await (const block of blocks) {
    addTo(group, facts, block)
    if (group.times.length < ROWS_A_GROUP) continue
    writeGroup(file, facts, group)
    group = emptyGroup(facts)
    yield taken(writer)
  }
  if (group.times.length > 0) writeGroup(file, facts, group)
  await file.finish()
  yield taken(writer)
}

/** What was written since; the writer's own count of the whole file goes on. */
function taken(writer: ByteWriter): Uint8Array<ArrayBuffer> {
  const bytes = Uint8Array.from(writer.getBytes())
  writer.index = 0
  return bytes
}

function schemaOf({ columns }: ExportFacts): SchemaElement[] {
  const text = (name: string): SchemaElement => ({
    name,
    type: 'BYTE_ARRAY',
    converted_type: 'UTF8',
    repetition_type: 'REQUIRED',
  })
  return [
    { name: 'samples', num_children: 2 * columns.length + 2 },
    { name: 'time', type: 'INT64', converted_type: 'TIMESTAMP_MICROS', repetition_type: 'REQUIRED' },
    ...columns.map(({ name }): SchemaElement => ({ name, type: 'DOUBLE', repetition_type: 'OPTIONAL' })),
    ...columns.map(({ name }) => text(`${name}_quality`)),
    text('revision'),
  ]
}

function metadataOf(facts: ExportFacts): { key: string; value: string }[] {
  const units = facts.columns.map(({ name, unit }) => ({ key: `unit of ${name}`, value: unit }))
  return [{ key: FACTS_KEY, value: JSON.stringify(facts) }, ...units]
}

const emptyGroup = ({ columns }: ExportFacts): Group => ({
  times: [],
  values: columns.map(() => []),
  qualities: columns.map(() => []),
  revisions: [],
})

function addTo(group: Group, { columns }: ExportFacts, block: SampleBlock): void {
  const own = placed(columns, block)
  for (let row = 0; row < block.timesMs.length; row++) {
    // In tenths of a millisecond first: µs of this century are beyond what a double adds without loss only there.
    group.times.push(BigInt(Math.round((block.timesMs[row] ?? 0) * 10)) * 100n)
    group.revisions.push(block.revision)
    for (const [c, column] of own.entries()) {
      const value = column.value(row)
      group.values[c]?.push(Number.isFinite(value) ? value : null)
      group.qualities[c]?.push(column.quality(row))
    }
  }
}

function writeGroup(file: ParquetWriter, { columns }: ExportFacts, group: Group): void {
  void file.write({
    rowGroupSize: group.times.length,
    columnData: [
      { name: 'time', data: group.times },
      ...columns.map(({ name }, c) => ({ name, data: group.values[c] ?? [] })),
      ...columns.map(({ name }, c) => ({ name: `${name}_quality`, data: group.qualities[c] ?? [] })),
      { name: 'revision', data: group.revisions },
    ],
  })
}
