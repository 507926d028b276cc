import { EvenpullError } from '../../../shared/errors.ts'
import type { PlannedRequest } from '../../poller/types.ts'
import type { Recording, ReplayRow } from '../line.ts'
import { type Cell, splitCells } from './csv-cells.ts'
import { csvLines, LONGEST_LINE, type TextLine } from './csv-lines.ts'
import { parseRecordedTime, type RecordedTime } from './recorded-time.ts'

const TIME = 'time'
const NUMBER = /^[+-]?(\d+(\.\d*)?|\.\d+)([eE][+-]?\d+)?$/

/**
 * A recording in a CSV file: `time,drive_side,operator_side[,speed][,reference][,temperature]`, or
 * any other column names that channels ask for, in any order; `time` must be among them.
 *
 * Commas part the columns, a point stands before the decimals. An empty cell is a missing value
 * and becomes null, never 0; `NaN` is handed on as not a number. Time goes forward in every row.
 * Anything else throws EVP_REPLAY_FORMAT with line and column; a file that cannot be opened,
 * EVP_REPLAY_FILE. The file is read as it is played, so that its size does not matter.
 */
export class CsvRecording implements Recording {
  readonly #path: string

  constructor(path: string) {
    this.#path = path
  }

  async *rows(request: PlannedRequest): AsyncGenerator<ReplayRow> {
    const reader = new RowReader(this.#path)
    const sources = request.items.map((item) => item.source ?? '')
    let columns: Columns | null = null
    let rows = 0
    for await (const line of this.#lines()) {
      if (line.text.length > LONGEST_LINE) throw reader.refuse(line, 1, `longer than ${LONGEST_LINE} characters`)
      if (columns === null) columns = reader.header(line, sources)
      else if (line.text.trim() !== '') {
        yield reader.row(line, columns)
        rows++
      }
    }
    if (columns === null) throw reader.refuse({ number: 1, text: '' }, 1, 'the file is empty')
    if (rows === 0) throw reader.refuse({ number: 2, text: '' }, 1, 'there is no row under the header')
  }

  async *#lines(): AsyncGenerator<TextLine> {
    try {
      yield* csvLines(this.#path)
    } catch (error) {
      throw new EvenpullError('EVP_REPLAY_FILE', `${this.#path} cannot be read: ${fileReason(error)}`, { cause: error })
    }
  }
}

/** Where in a row the time and each item stand, and how many cells a row has. */
interface Columns {
  readonly time: number
  readonly items: readonly { readonly index: number; readonly name: string }[]
  readonly cells: number
}

/** Reads line after line of one pass and remembers what the next must agree with. */
class RowReader {
  readonly #path: string
  #last: (RecordedTime & { readonly text: string }) | null = null

  constructor(path: string) {
    this.#path = path
  }

  refuse(line: TextLine, column: number, what: string): EvenpullError {
    const place = { file: this.#path, line: line.number, column }
    return new EvenpullError('EVP_REPLAY_FORMAT', what, { place })
  }

  header(line: TextLine, sources: readonly string[]): Columns {
    if (line.text.includes('\0')) throw this.refuse(line, 1, 'this is not UTF-8 text; save the file as CSV in UTF-8')
    const names = this.#cells(line).map((cell) => cell.text)
    if (names.length === 1 && /[;\t|]/.test(line.text))
      throw this.refuse(line, 1, 'the columns are not parted by commas; save it with commas and decimal points')
    for (const [i, name] of names.entries()) {
      if (names.indexOf(name) !== i) throw this.refuse(line, 1, `the column "${name}" is there twice`)
    }
    const indexOf = (name: string) => {
      const index = names.indexOf(name)
      if (index === -1) throw this.refuse(line, 1, `there is no column "${name}"; there are ${names.join(', ')}`)
      return index
    }
    return {
      time: indexOf(TIME),
      items: sources.map((name) => ({ index: indexOf(name), name })),
      cells: names.length,
    }
  }

  row(line: TextLine, columns: Columns): ReplayRow {
    const cells = this.#cells(line)
    if (cells.length !== columns.cells)
      throw this.refuse(
        line,
        1,
        `${cells.length} cells where the header has ${columns.cells}${cells.length > columns.cells ? ' (a decimal comma? use a point)' : ''}`,
      )
    const seconds = this.#time(line, cells[columns.time])
    return { seconds, values: columns.items.map(({ index, name }) => this.#value(line, cells[index], name)) }
  }

  #cells(line: TextLine): Cell[] {
    const cells = splitCells(line.text)
    if (cells === null) throw this.refuse(line, line.text.indexOf('"') + 1, 'a quoted cell is not closed properly')
    return cells
  }

  #time(line: TextLine, cell: Cell | undefined): number {
    const { text, column } = cell ?? { text: '', column: 1 }
    const time = parseRecordedTime(text)
    if (time === null)
      throw this.refuse(line, column, `time "${text}": expected seconds or ISO 8601, such as 2024-05-01T06:00:00.00Z`)
    const last = this.#last
    if (last !== null && last.notation !== time.notation)
      throw this.refuse(line, column, `time "${text}" is ${time.notation}; the rows before are ${last.notation}`)
    if (last !== null && time.seconds <= last.seconds)
      throw this.refuse(
        line,
        column,
        `time "${text}" ${time.seconds === last.seconds ? 'is the same as' : 'is before'} that of the row above, "${last.text}"`,
      )
    this.#last = { ...time, text }
    return time.seconds
  }

  #value(line: TextLine, cell: Cell | undefined, name: string): number | null {
    const { text, column } = cell ?? { text: '', column: 1 }
    if (text === '') return null
    if (NUMBER.test(text)) {
      const value = Number(text)
      if (Number.isFinite(value)) return value
    }
    if (/^nan$/i.test(text)) return Number.NaN
    const hint = /^[+-]?\d+,\d+$/.test(text) ? 'a decimal comma; use a point' : 'expected a number or nothing'
    throw this.refuse(line, column, `${name} "${text}": ${hint}`)
  }
}

function fileReason(error: unknown): string {
  switch ((error as NodeJS.ErrnoException).code) {
    case 'ENOENT':
      return 'there is no such file'
    case 'EACCES':
      return 'this user may not read it'
    case 'EISDIR':
      return 'it is a folder'
    default:
      return error instanceof Error ? error.message : String(error)
  }
}
