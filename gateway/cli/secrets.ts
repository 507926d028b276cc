import type { ReadStream } from 'node:tty'
import { usage } from './options.ts'

/** Where a command gets what must not stand on a command line: others see that in the list of processes. */
export interface Secrets {
  /** Asks a person; what is typed is not shown. Throws EVP_USAGE where there is no terminal, or on Ctrl-C. */
  ask(prompt: string): Promise<string>
  /** All of standard input, without one line end at its end. */
  fromStdin(): Promise<string>
}

const MOST_BYTES = 4096

export const terminalSecrets: Secrets = {
  ask: (prompt) => askHidden(process.stdin, (text) => process.stderr.write(text), prompt),
  fromStdin: () => readAll(process.stdin),
}

/** What is typed at a terminal until Enter, with nothing echoed; Backspace takes one back, Ctrl-U all. */
export function askHidden(
  input: Pick<ReadStream, 'isTTY' | 'setRawMode' | 'on' | 'off' | 'resume' | 'pause'>,
  write: (text: string) => void,
  prompt: string,
): Promise<string> {
  if (!input.isTTY) throw usage('there is no terminal to type a password at; give it on standard input with --stdin')
  return new Promise((resolve, reject) => {
    let typed: string[] = []
    const end = (act: () => void) => {
      input.off('data', take)
      input.setRawMode(false)
      input.pause()
      write('\n')
      act()
    }
    const take = (bytes: Buffer | string) => {
      for (const key of String(bytes)) {
        if (key === '\r' || key === '\n' || key === END_OF_FILE) return end(() => resolve(typed.join('')))
        if (key === INTERRUPT) return end(() => reject(usage('broken off; nothing was changed')))
        if (key === '\b' || key === DELETE) typed.pop()
        else if (key === CLEAR_LINE) typed = []
        else if (key >= ' ') typed.push(key)
      }
    }
    write(prompt)
    input.setRawMode(true)
    input.on('data', take)
    input.resume()
  })
}

const INTERRUPT = '\u0003'
const END_OF_FILE = '\u0004'
const CLEAR_LINE = '\u0015'
const DELETE = '\u007f'

/** Throws EVP_USAGE when there is more than any password. */
export async function readAll(input: AsyncIterable<Buffer | string>): Promise<string> {
  const chunks: Buffer[] = []
  let total = 0
  for await (const chunk of input) {
    const bytes = Buffer.from(chunk)
    total += bytes.length
    if (total > MOST_BYTES) throw usage(`--stdin: more than ${MOST_BYTES} bytes came`)
    chunks.push(bytes)
  }
  return Buffer.concat(chunks)
    .toString('utf8')
    .replace(/\r?\n$/, '')
}
