import { BitReader, BitWriter } from './bits.ts'
import { decodeFloats, encodeFloats, isSingle } from './floats.ts'
import { decodeIntegers, encodeIntegers, isCodable } from './integers.ts'
import { readCount, writeCount } from './rice.ts'

/** One channel's samples without their times: the number as the device gave it, NaN where none came, and the quality byte. */
export interface Column {
  readonly raws: Float64Array
  readonly codes: Uint8Array
}

/** How the numbers are written; its place is its number in the store: new ones go to the end. */
const FORMS = ['none', 'integers', 'float32', 'float64'] as const
type Form = (typeof FORMS)[number]
const FORM_BITS = 3
const CODE_BITS = 8

/** A column as bytes, losslessly; how many samples it holds has to be known to read it. */
export function encodeColumn({ raws, codes }: Column): Uint8Array<ArrayBuffer> {
  const writer = new BitWriter()
  writeRuns(writer, raws, codes)
  const present = presentOf(raws)
  const form = formOf(present)
  writer.write(FORMS.indexOf(form), FORM_BITS)
  if (form === 'integers') encodeIntegers(writer, present)
  else if (form !== 'none') encodeFloats(writer, present, form === 'float32' ? 32 : 64)
  return writer.bytes()
}

/** Throws RangeError when the bytes are not a column of `n` samples. */
export function decodeColumn(bytes: Uint8Array, n: number): Column {
  const reader = new BitReader(bytes)
  const codes = new Uint8Array(n)
  const raws = new Float64Array(n)
  const count = readRuns(reader, raws, codes)
  const form = FORMS[reader.read(FORM_BITS)]
  if (form === undefined) throw new RangeError('numbers of a form that this version does not know')
  const present = decodeNumbers(reader, form, count)
  let next = 0
  for (let i = 0; i < n; i++) if (!Number.isNaN(raws[i])) raws[i] = present[next++] ?? Number.NaN
  return { raws, codes }
}

function decodeNumbers(reader: BitReader, form: Form, count: number): Float64Array {
  if (form === 'none') return new Float64Array(0)
  if (form === 'integers') return decodeIntegers(reader, count)
  return decodeFloats(reader, count, form === 'float32' ? 32 : 64)
}

function formOf(numbers: Float64Array): Form {
  if (numbers.length === 0) return 'none'
  if (numbers.every(isCodable)) return 'integers'
  return numbers.every(isSingle) ? 'float32' : 'float64'
}

/** The numbers that came; the column itself where all did. */
function presentOf(raws: Float64Array): Float64Array {
  for (let i = 0; i < raws.length; i++) if (Number.isNaN(raws[i])) return raws.filter((raw) => !Number.isNaN(raw))
  return raws
}

/** Stretches of one quality, with a number each or without: length, code, whether a number came. */
function writeRuns(writer: BitWriter, raws: Float64Array, codes: Uint8Array): void {
  for (let from = 0; from < codes.length; ) {
    const code = codes[from] ?? 0
    const hasNumber = !Number.isNaN(raws[from])
    let to = from + 1
    while (to < codes.length && codes[to] === code && !Number.isNaN(raws[to]) === hasNumber) to++
    writeCount(writer, to - from)
    writer.write(code, CODE_BITS)
    writer.write(hasNumber ? 1 : 0, 1)
    from = to
  }
}

/** Fills the codes, and NaN where no number came; returns how many came. */
function readRuns(reader: BitReader, raws: Float64Array, codes: Uint8Array): number {
  let count = 0
  for (let from = 0; from < codes.length; ) {
    const length = readCount(reader)
    const code = reader.read(CODE_BITS)
    const hasNumber = reader.read(1) === 1
    if (length === 0 || from + length > codes.length)
      throw new RangeError('a stretch of quality is longer than the column')
    codes.fill(code, from, from + length)
    if (hasNumber) count += length
    else raws.fill(Number.NaN, from, from + length)
    from += length
  }
  return count
}
