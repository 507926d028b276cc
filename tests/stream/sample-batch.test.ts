import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import {
  decodeSampleBatch,
  encodeSampleBatch,
  HEADER_BYTES,
  KIND_ENVELOPE,
  KIND_SAMPLES,
  type SampleBatch,
} from '../../shared/protocol/sample-batch.ts'

const empty = {
  kind: KIND_SAMPLES,
  backlog: false,
  zone: 0,
  seq: 1,
  firstSeq: 1,
  samples: 0,
  timesMs: new Float64Array(0),
} as const

const uint32 = fc.integer({ min: 0, max: 0xffffffff })
const float32 = fc.float()

const anyBatch: fc.Arbitrary<SampleBatch> = fc
  .record({ rows: fc.integer({ min: 0, max: 20 }), columns: fc.integer({ min: 0, max: 5 }), envelope: fc.boolean() })
  .chain(({ rows, columns, envelope }) => {
    const floats = fc.array(
      fc.array(float32, { minLength: rows, maxLength: rows }).map((list) => Float32Array.from(list)),
      { minLength: columns, maxLength: columns },
    )
    return fc.record({
      kind: fc.constant(envelope ? KIND_ENVELOPE : KIND_SAMPLES) as fc.Arbitrary<1 | 2>,
      backlog: fc.boolean(),
      zone: fc.integer({ min: 0, max: 0xffff }),
      seq: uint32,
      firstSeq: uint32,
      samples: uint32,
      timesMs: fc.array(fc.integer({ min: 0, max: 60_000 }), { minLength: rows, maxLength: rows }).map((list) =>
        Float64Array.from(
          list.toSorted((a, b) => a - b),
          (ms) => 1_700_000_000_000 + ms,
        ),
      ),
      values: floats,
      ...(envelope ? { maxima: floats } : {}),
      qualities: fc.array(fc.uint8Array({ minLength: rows, maxLength: rows }), {
        minLength: columns,
        maxLength: columns,
      }),
    }) as fc.Arbitrary<SampleBatch>
  })

describe('sample batches', () => {
  it('come back as they were encoded', () => {
    fc.assert(
      fc.property(anyBatch, (batch) => {
        expect(decodeSampleBatch(encodeSampleBatch(batch))).toEqual(batch)
      }),
    )
  })

  it('lie on the wire as the table of the format says: bytes put together by hand', () => {
    const hex = [
      '01', // samples
      '01', // backlog
      '0200', // zone 2
      '02000000', // 2 columns
      '01000000', // 1 row
      '09000000', // seq 9
      '08000000', // firstSeq 8
      '01000000', // stands for 1 sample
      '0000000000408f40', // t0 = 1000.0, IEEE 754 binary64
      '00000000', // row at t0 + 0
      '00002041', // 10.0, IEEE 754 binary32
      '0000c07f', // NaN
      '00', // good
      '06', // wire-break
    ].join('')
    const bytes = Buffer.from(hex, 'hex')
    const batch: SampleBatch = {
      kind: KIND_SAMPLES,
      backlog: true,
      zone: 2,
      seq: 9,
      firstSeq: 8,
      samples: 1,
      timesMs: Float64Array.of(1000),
      values: [Float32Array.of(10), Float32Array.of(Number.NaN)],
      qualities: [Uint8Array.of(0), Uint8Array.of(6)],
    }
    expect(Buffer.from(encodeSampleBatch(batch)).toString('hex')).toBe(hex)
    expect(decodeSampleBatch(bytes.buffer.slice(bytes.byteOffset, bytes.byteOffset + bytes.length))).toEqual(batch)
  })

  it('refuse columns of unequal length', () => {
    const batch = { ...empty, samples: 2, timesMs: Float64Array.of(1, 2) }
    expect(() => encodeSampleBatch({ ...batch, values: [new Float32Array(1)], qualities: [] })).toThrow(RangeError)
    expect(() =>
      encodeSampleBatch({ ...batch, values: [new Float32Array(2)], qualities: [new Uint8Array(3)] }),
    ).toThrow(RangeError)
  })

  it('a header alone that claims billions of columns is no batch: decoding it would fill the memory', () => {
    const bytes = new Uint8Array(encodeSampleBatch({ ...empty, values: [], qualities: [] }))
    expect(decodeSampleBatch(bytes.buffer)).not.toBeNull()
    new DataView(bytes.buffer).setUint32(4, 0xfffffff0, true)
    expect(decodeSampleBatch(bytes.buffer)).toBeNull()
  })

  it('random bytes are no batch or one that encodes to the same length; never an exception', () => {
    fc.assert(
      fc.property(fc.uint8Array({ maxLength: 200 }), (bytes) => {
        const batch = decodeSampleBatch(bytes.slice().buffer)
        if (batch !== null) expect(encodeSampleBatch(batch).byteLength).toBe(bytes.length)
      }),
      { numRuns: 1000 },
    )
  })

  it('a batch cut short, lengthened, or with its counts changed is no batch', () => {
    fc.assert(
      fc.property(
        anyBatch,
        fc.integer({ min: 1, max: 40 }),
        fc.integer({ min: 4, max: 11 }),
        uint32,
        (batch, n, at, flip) => {
          const bytes = new Uint8Array(encodeSampleBatch(batch))
          expect(decodeSampleBatch(bytes.slice(0, Math.max(0, bytes.length - n)).buffer)).toBeNull()
          expect(decodeSampleBatch(Uint8Array.from([...bytes, ...new Uint8Array(n)]).buffer)).toBeNull()
          const changed = bytes.slice()
          changed[at] = (changed[at] ?? 0) ^ (flip % 255 || 1)
          if (batch.timesMs.length > 0) expect(decodeSampleBatch(changed.buffer)).toBeNull()
        },
      ),
    )
    expect(decodeSampleBatch(new ArrayBuffer(HEADER_BYTES - 1))).toBeNull()
  })
})
