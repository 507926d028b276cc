/**
 * One binary WebSocket message: a batch of samples of one zone, as columns.
 *
 * Little-endian. Header of 32 bytes, then per-row times, then values, then qualities:
 *
 * | offset | type | field |
 * | --- | --- | --- |
 * | 0 | u8 | kind: 1 samples, 2 envelope |
 * | 1 | u8 | flags: bit 0 backlog (older than what was sent live) |
 * | 2 | u16 | zone: index into hello.zones.zones |
 * | 4 | u32 | columns C |
 * | 8 | u32 | rows N |
 * | 12 | u32 | seq: number of the (last) batch in it; live batches of a zone count 1, 2, 3 … |
 * | 16 | u32 | firstSeq: first batch in it (= seq unless batches were joined) |
 * | 20 | u32 | samples that N rows stand for (envelopes: rows are fewer) |
 * | 24 | f64 | t0: epoch ms of the first row |
 * | 32 | f32 × N | time of each row after t0, ms |
 * | … | f32 × N × C | samples: values column by column, NaN when not good or uncertain. Envelope: min columns, then max columns (N × 2C) |
 * | … | u8 × N × C | quality byte of each value (worst of the bucket in an envelope) |
 *
 * Float32 keeps 7 digits: for the picture. Figures a person reads come from `now` in full precision.
 */
export const HEADER_BYTES = 32
export const KIND_SAMPLES = 1
export const KIND_ENVELOPE = 2
const FLAG_BACKLOG = 1
/** More than any zone has. Without rows the length of a batch says nothing of its columns, so that they need a bound. */
const MAX_COLUMNS = 64

export interface SampleBatch {
  readonly kind: typeof KIND_SAMPLES | typeof KIND_ENVELOPE
  readonly backlog: boolean
  readonly zone: number
  readonly seq: number
  readonly firstSeq: number
  readonly samples: number
  /** Epoch ms of each row. */
  readonly timesMs: Float64Array
  /** One array a column; for an envelope the minima. */
  readonly values: readonly Float32Array[]
  /** The maxima of an envelope; absent for samples. */
  readonly maxima?: readonly Float32Array[]
  readonly qualities: readonly Uint8Array[]
}

/** Bytes of a batch with these rows and columns. */
export function batchBytes(rows: number, columns: number, kind: number): number {
  return HEADER_BYTES + rows * 4 + rows * columns * (kind === KIND_ENVELOPE ? 9 : 5)
}

/** Encodes a batch. Columns must all have as many rows as `timesMs`; throws RangeError otherwise. */
export function encodeSampleBatch(batch: SampleBatch): ArrayBuffer {
  const rows = batch.timesMs.length
  const columns = batch.values.length
  const buffer = new ArrayBuffer(batchBytes(rows, columns, batch.kind))
  const view = new DataView(buffer)
  const t0 = batch.timesMs[0] ?? 0
  view.setUint8(0, batch.kind)
  view.setUint8(1, batch.backlog ? FLAG_BACKLOG : 0)
  view.setUint16(2, batch.zone, true)
  view.setUint32(4, columns, true)
  view.setUint32(8, rows, true)
  view.setUint32(12, batch.seq, true)
  view.setUint32(16, batch.firstSeq, true)
  view.setUint32(20, batch.samples, true)
  view.setFloat64(24, t0, true)
  const times = Float32Array.from(batch.timesMs, (t) => t - t0)
  let at = writeFloats(buffer, HEADER_BYTES, [times], rows)
  at = writeFloats(buffer, at, batch.values, rows)
  if (batch.kind === KIND_ENVELOPE) at = writeFloats(buffer, at, batch.maxima ?? [], rows)
  for (const column of batch.qualities) {
    if (column.length !== rows) throw new RangeError(`a quality column has ${column.length} rows, expected ${rows}`)
    new Uint8Array(buffer, at, rows).set(column)
    at += rows
  }
  return buffer
}

function writeFloats(buffer: ArrayBuffer, start: number, columns: readonly Float32Array[], rows: number): number {
  let at = start
  for (const column of columns) {
    if (column.length !== rows) throw new RangeError(`a column has ${column.length} rows, expected ${rows}`)
    new Float32Array(buffer, at, rows).set(column)
    at += rows * 4
  }
  return at
}

/** Decodes a batch, or returns null when the bytes do not hold exactly one. */
export function decodeSampleBatch(buffer: ArrayBuffer): SampleBatch | null {
  if (buffer.byteLength < HEADER_BYTES) return null
  const view = new DataView(buffer)
  const kind = view.getUint8(0)
  if (kind !== KIND_SAMPLES && kind !== KIND_ENVELOPE) return null
  const columns = view.getUint32(4, true)
  const rows = view.getUint32(8, true)
  if (columns > MAX_COLUMNS || buffer.byteLength !== batchBytes(rows, columns, kind)) return null
  const t0 = view.getFloat64(24, true)
  let at = HEADER_BYTES
  const offsets = new Float32Array(buffer, at, rows)
  at += rows * 4
  const floats = () => {
    const list: Float32Array[] = []
    for (let c = 0; c < columns; c++, at += rows * 4) list.push(new Float32Array(buffer, at, rows))
    return list
  }
  const values = floats()
  const maxima = kind === KIND_ENVELOPE ? floats() : undefined
  const qualities: Uint8Array[] = []
  for (let c = 0; c < columns; c++, at += rows) qualities.push(new Uint8Array(buffer, at, rows))
  return {
    kind,
    backlog: (view.getUint8(1) & FLAG_BACKLOG) !== 0,
    zone: view.getUint16(2, true),
    seq: view.getUint32(12, true),
    firstSeq: view.getUint32(16, true),
    samples: view.getUint32(20, true),
    timesMs: Float64Array.from(offsets, (ms) => t0 + ms),
    values,
    ...(maxima === undefined ? {} : { maxima }),
    qualities,
  }
}
