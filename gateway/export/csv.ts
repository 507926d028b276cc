import type { SampleBlock } from '../recorder/read-samples.ts'
import type { ExportFacts } from './export-facts.ts'
import { asNoFormula } from './formula.ts'
import { placed } from './rows.ts'

const ROWS_A_CHUNK = 2000
const encoder = new TextEncoder()

/**
 * The samples as CSV (RFC 4180, UTF-8, CRLF), chunk after chunk. Lines that begin with # stand before the header and say
 * units and revisions; the last one says that the file is whole, and how many rows it has. A bad or missing sample is an
 * empty cell with the reason beside it. `evenpull replay` plays such a file.
 */
export async function* csvOf(
  facts: ExportFacts,
  blocks: AsyncIterable<SampleBlock>,
): AsyncGenerator<Uint8Array<ArrayBuffer>> {
  yield encoder.encode(lines([...aboutLines(facts), headerOf(facts)]))
  let rows = 0
  for await (const block of blocks) {
    for (let start = 0; start < block.timesMs.length; start += ROWS_A_CHUNK)
      yield encoder.encode(lines(rowsOf(facts, block, start, Math.min(block.timesMs.length, start + ROWS_A_CHUNK))))
    rows += block.timesMs.length
  }
  yield encoder.encode(lines([`# end: the file is whole, ${rows} rows`]))
}

const lines = (texts: readonly string[]): string => texts.map((text) => `${text}\r\n`).join('')

function aboutLines(facts: ExportFacts): string[] {
  return [
    `# ${facts.product}, samples at full rate, layout ${facts.layout}`,
    `# plant: ${oneLine(facts.plant ?? 'not named')}; line: ${oneLine(facts.line ?? 'not named')}`,
    `# zone: ${facts.zone} (${oneLine(facts.zoneName)})`,
    `# from ${isoOf(facts.fromMs)} up to ${isoOf(facts.toMs)}, made ${isoOf(facts.madeMs)}`,
    ...facts.columns.map(({ name, unit, meaning }) => `# ${name}: ${meaning}, ${unit}`),
    ...facts.revisions.map(({ revision, fromMs, channels }) => {
      const read = Object.entries(channels).map(([role, channel]) => `${role} = ${channel}`)
      return `# config revision ${revision} in force from ${isoOf(fromMs)}: ${read.join(', ') || 'without this zone'}`
    }),
    '# an empty cell is no good sample; the column beside it says why',
  ]
}

/** A name as it stands in a line of remarks. Numbers of the table are cells of their own and never come through here. */
const oneLine = (text: string): string => asNoFormula(text.replaceAll(/\s+/g, ' '))

function headerOf({ columns }: ExportFacts): string {
  const names = columns.map(({ name }) => name)
  return ['time', ...names, ...names.map((name) => `${name}_quality`), 'revision'].join()
}

function rowsOf({ columns }: ExportFacts, block: SampleBlock, from: number, to: number): string[] {
  const own = placed(columns, block)
  const rows: string[] = []
  for (let row = from; row < to; row++) {
    const values = own.map((column) => cellOf(column.value(row)))
    const qualities = own.map((column) => column.quality(row))
    rows.push([isoOf(block.timesMs[row] ?? Number.NaN), ...values, ...qualities, block.revision].join())
  }
  return rows
}

/** The shortest text that reads back as the same number. */
const cellOf = (value: number): string => (Number.isFinite(value) ? String(value) : '')

/** ISO 8601 in UTC, to the tenth of a millisecond that the store keeps. */
export function isoOf(epochMs: number): string {
  const whole = Math.floor(epochMs)
  const tenth = Math.round((epochMs - whole) * 10)
  const carried = tenth === 10 ? whole + 1 : whole
  return `${new Date(carried).toISOString().slice(0, -1)}${tenth % 10}Z`
}
