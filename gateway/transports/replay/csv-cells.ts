/** A cell and the column of its first character, counted from 1. */
export interface Cell {
  readonly text: string
  readonly column: number
}

/**
 * The cells of one CSV line, quotes undone and blanks around unquoted cells dropped.
 * Null when a quote is not closed on the line or something stands between a closing quote and the
 * next comma. (RFC 4180 also allows line ends inside quotes; a recording of numbers has none.)
 *
 * Source: RFC 4180 §2.
 */
export function splitCells(line: string): Cell[] | null {
  const cells: Cell[] = []
  let start = 0
  while (start <= line.length) {
    const cell = cellAt(line, start)
    if (cell === null) return null
    cells.push({ text: cell.text, column: start + 1 })
    start = cell.next
  }
  return cells
}

/** The cell that begins at `start`, and where the next one begins (past the end for the last). */
function cellAt(line: string, start: number): { text: string; next: number } | null {
  const comma = indexOrEnd(line.indexOf(',', start), line)
  const plain = line.slice(start, comma)
  if (!plain.trimStart().startsWith('"')) return plain.includes('"') ? null : { text: plain.trim(), next: comma + 1 }
  const open = line.indexOf('"', start)
  const close = closingQuote(line, open + 1)
  if (close === -1) return null
  const end = indexOrEnd(line.indexOf(',', close), line)
  if (line.slice(close + 1, end).trim() !== '') return null
  return { text: line.slice(open + 1, close).replaceAll('""', '"'), next: end + 1 }
}

/** The quote that closes a cell: the first that is not doubled; −1 when there is none. */
function closingQuote(line: string, from: number): number {
  for (let at = line.indexOf('"', from); at !== -1; at = line.indexOf('"', at + 2)) if (line[at + 1] !== '"') return at
  return -1
}

function indexOrEnd(index: number, line: string): number {
  return index === -1 ? line.length : index
}
