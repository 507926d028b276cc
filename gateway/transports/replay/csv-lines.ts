import { createReadStream } from 'node:fs'

/** A line of a text file, without its end; counted from 1. */
export interface TextLine {
  readonly number: number
  readonly text: string
}

const REMARK = '#'

/** Longest line in characters; a longer one is cut there and says so by its length. */
export const LONGEST_LINE = 65_536

/**
 * The lines of a UTF-8 file, one after the other in bounded memory, whatever its size.
 * LF and CRLF end a line; a byte-order mark at the start is dropped, and so are remarks: lines that begin with #.
 * Throws what the file system throws.
 */
export async function* csvLines(path: string): AsyncGenerator<TextLine> {
  let number = 0
  let rest = ''
  for await (const chunk of createReadStream(path, { encoding: 'utf8' }) as AsyncIterable<string>) {
    rest += chunk
    let start = 0
    for (let end = rest.indexOf('\n'); end !== -1; end = rest.indexOf('\n', start)) {
      const text = lineText(rest.slice(start, end), ++number)
      if (!text.startsWith(REMARK)) yield { number, text }
      start = end + 1
    }
    rest = rest.slice(start)
    // Without a line end in sight the rest would grow to the size of the file.
    if (rest.length > LONGEST_LINE) break
  }
  const last = lineText(rest, ++number)
  if (last !== '' && !last.startsWith(REMARK)) yield { number, text: last }
}

function lineText(text: string, number: number): string {
  const body = text.endsWith('\r') ? text.slice(0, -1) : text
  return number === 1 && body.startsWith('\uFEFF') ? body.slice(1) : body
}
