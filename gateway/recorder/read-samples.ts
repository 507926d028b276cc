import { QUANTITY_OF } from '../../lib/scale/value.ts'
import type { ChannelColumn } from '../../lib/store-codec/block.ts'
import { msOf, ticksOf } from '../../lib/store-codec/times.ts'
import { qualityByte } from '../../shared/quality.ts'
import { rolesOf, type ZoneRole } from '../zone-roles.ts'
import type { ChunkSource } from './chunk-source.ts'
import { type RevisionTable, zoneIn } from './revision-table.ts'

/** What a zone's samples were, at full rate, under one revision. */
export interface SampleBlock {
  readonly revision: string
  readonly columns: readonly { readonly role: ZoneRole; readonly channel: string; readonly unit: string }[]
  /** Epoch ms of each row, ascending. */
  readonly timesMs: Float64Array
  /** SI by column; NaN where a sample is bad or there is none. */
  readonly values: readonly Float64Array[]
  /** The numbers as the device gave them; NaN where none came. */
  readonly raws: readonly Float64Array[]
  /** Quality bytes; `missing` where the column has no sample at that time. */
  readonly codes: readonly Uint8Array[]
}

export interface SamplePage {
  /** Without rows where there was nothing. */
  readonly block: SampleBlock | null
  /** Where to go on; null at the end of the range. */
  readonly nextTick: number | null
}

const PAGE_SAMPLES = 40_000
const PAGE_CHUNKS = 400
const MISSING = qualityByte('missing')

/** Undefined when no revision ever had the zone. */
export function readSamplePage(
  revisions: RevisionTable,
  chunks: ChunkSource,
  zoneId: string,
  fromTick: number,
  toTick: number,
): SamplePage | undefined {
  if (revisions.newestOf(zoneId) === undefined) return undefined
  const [revision, later] = revisions.inRange(msOf(fromTick), msOf(toTick))
  if (revision === undefined || fromTick >= toTick) return { block: null, nextTick: null }
  const stretchEnd = later === undefined ? toTick : Math.min(toTick, ticksOf(revision.toMs))
  const goesOn = later !== undefined && stretchEnd < toTick ? stretchEnd : null
  const found = zoneIn(revision.scales, zoneId)
  if (found === undefined) return { block: null, nextTick: goesOn }
  const columns = rolesOf(found.zone).map(([role, channel]) => {
    const config = revision.scales.channels.find(({ id }) => id === channel)
    return {
      role,
      channel,
      unit: config === undefined ? '' : QUANTITY_OF[config.measures].si,
      number: revisions.channelNumber(channel),
    }
  })
  const numbers = columns.flatMap(({ number }) => (number === undefined ? [] : [number]))
  const end = Math.min(stretchEnd, pageEnd(chunks, numbers, fromTick))
  const read = columns.map(({ number }) => (number === undefined ? [] : [...chunks.columns(number, fromTick, end)]))
  const block = blockOf(revisions, revision.revision, columns, read)
  return { block, nextTick: end < stretchEnd ? end : goesOn }
}

/** After the chunks that make a page; infinite when none are left but the tail. */
function pageEnd(chunks: ChunkSource, channels: readonly number[], fromTick: number): number {
  const spans = channels.length === 0 ? [] : chunks.spans(channels, fromTick, PAGE_CHUNKS)
  let samples = 0
  let end = Number.POSITIVE_INFINITY
  for (const { t1, n } of spans) {
    samples += n
    end = Number.isFinite(end) ? Math.max(end, t1 + 1) : t1 + 1
    if (samples >= PAGE_SAMPLES) break
  }
  return end
}

function blockOf(
  revisions: RevisionTable,
  revision: string,
  columns: readonly { role: ZoneRole; channel: string; unit: string }[],
  read: readonly (readonly ChannelColumn[])[],
): SampleBlock | null {
  const ticks = unionOf(read.flat().map((column) => column.ticks))
  if (ticks.length === 0) return null
  const values: Float64Array[] = []
  const raws: Float64Array[] = []
  const codes: Uint8Array[] = []
  for (const own of read) {
    const value = new Float64Array(ticks.length).fill(Number.NaN)
    const raw = new Float64Array(ticks.length).fill(Number.NaN)
    const code = new Uint8Array(ticks.length).fill(MISSING)
    let row = 0
    for (const column of own) {
      const valueAt = revisions.siValue(column.channel, column.revision)
      for (let i = 0; i < column.ticks.length; i++) {
        while ((ticks[row] ?? Number.POSITIVE_INFINITY) < (column.ticks[i] ?? 0)) row++
        raw[row] = column.raws[i] ?? Number.NaN
        code[row] = column.codes[i] ?? MISSING
        value[row] = valueAt(raw[row] ?? Number.NaN, code[row] ?? MISSING)
      }
    }
    values.push(value)
    raws.push(raw)
    codes.push(code)
  }
  return {
    revision,
    columns: columns.map(({ role, channel, unit }) => ({ role, channel, unit })),
    timesMs: ticks.map(msOf),
    values,
    raws,
    codes,
  }
}

/** Every time once, in order. */
function unionOf(axes: readonly Float64Array[]): Float64Array {
  const all = new Float64Array(axes.reduce((sum, axis) => sum + axis.length, 0))
  let at = 0
  for (const axis of axes) {
    all.set(axis, at)
    at += axis.length
  }
  all.sort()
  return all.filter((tick, i) => i === 0 || tick !== all[i - 1])
}
