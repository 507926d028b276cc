import { open, rename, rm } from 'node:fs/promises'
import { basename, dirname, join } from 'node:path'
import { entryLine, type JournalEntry, journalOf, journalText, type KeptExercise } from './journal-lines.ts'
import { putWhole, readIfThere } from './whole-file.ts'

/** As much of a file as a journal needs. */
export interface JournalFile {
  write(bytes: Buffer, from: number, length: number, at: number): Promise<{ readonly bytesWritten: number }>
  datasync(): Promise<void>
  close(): Promise<void>
}

/**
 * The exercise that is open, on the disk: `.evenpull/CONFIG.training-open.jsonl` beside the config, a line for whatever
 * happens in it, synced. It tells what is hidden, so that only its owner may read it, and is gone when the exercise is over.
 */
export class Journal {
  readonly #path: string
  readonly #say: (line: string) => void
  readonly #opened: (path: string) => Promise<JournalFile>
  #file: JournalFile | null = null
  /** Of the file, as far as it is whole. */
  #bytes = 0
  /** What could not be written yet: nothing is left out between two lines. */
  #waiting = ''
  #isFailing = false
  #writing: Promise<void> = Promise.resolve()

  constructor(
    configPath: string,
    say: (line: string) => void,
    opened: (path: string) => Promise<JournalFile> = (path) => open(path, 'r+'),
  ) {
    this.#opened = opened
    this.#path = join(dirname(configPath), '.evenpull', `${basename(configPath)}.training-open.jsonl`)
    this.#say = say
  }

  /** What was open when the process ended; null: nothing was. One that cannot be understood is set aside, and said. */
  async left(nowMs: number): Promise<KeptExercise | null> {
    const text = await readIfThere(this.#path)
    if (text === null) return null
    try {
      return journalOf(text)
    } catch (error) {
      await this.setAside(error, nowMs)
      return null
    }
  }

  /** Puts the file away under another name. */
  async setAside(error: unknown, nowMs: number): Promise<void> {
    await this.close()
    const aside = `${this.#path}.not-understood-${nowMs}`
    await rename(this.#path, aside)
    const why = error instanceof Error ? error.message : String(error)
    this.#say(`the exercise that was open could not be taken up (${why}); its journal was put aside as ${aside}`)
  }

  /** From now on this is the exercise that is open. Resolves once it is on the disk; rejects as the file system does. */
  async begin(kept: KeptExercise): Promise<void> {
    await this.close()
    const text = journalText(kept)
    await putWhole(this.#path, text)
    this.#file = await this.#opened(this.#path)
    this.#bytes = Buffer.byteLength(text)
    this.#waiting = ''
    this.#isFailing = false
  }

  /**
   * Resolves once it is on the disk. What cannot be written is said once and waits for the next: the exercise goes on,
   * because what was done at the machine cannot be taken back.
   */
  keep(entry: JournalEntry): Promise<void> {
    this.#writing = this.#writing.then(() => this.#write(entryLine(entry)))
    return this.#writing
  }

  /** The exercise is over, and kept elsewhere. */
  async end(): Promise<void> {
    await this.close()
    try {
      await rm(this.#path, { force: true })
    } catch (error) {
      this.#say(`${this.#path} could not be removed: ${String(error)}`)
    }
  }

  /** The file stays for the next start. */
  async close(): Promise<void> {
    await this.#writing
    await this.#file?.close()
    this.#file = null
  }

  async #write(line: string): Promise<void> {
    if (this.#file === null) return
    this.#waiting += line
    const bytes = Buffer.from(this.#waiting)
    try {
      // At its place, not at the end: half a line of a try before is written over.
      for (let at = 0; at < bytes.length; )
        at += (await this.#file.write(bytes, at, bytes.length - at, this.#bytes + at)).bytesWritten
      await this.#file.datasync()
    } catch (error) {
      if (!this.#isFailing)
        this.#say(`what is done in the exercise cannot be kept, and would be lost with this process: ${String(error)}`)
      this.#isFailing = true
      return
    }
    if (this.#isFailing) this.#say('what is done in the exercise is kept again')
    this.#isFailing = false
    this.#bytes += bytes.length
    this.#waiting = ''
  }
}
