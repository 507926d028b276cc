import { createHash } from 'node:crypto'
import { mkdir, readFile, stat } from 'node:fs/promises'
import { join } from 'node:path'
import { z } from 'zod'
import { type RevisionEntry, revisionEntry } from '../../../shared/schemas/config-write.ts'
import { revisionOf } from '../load.ts'
import { appendLine, writeOnce } from './atomic-write.ts'

/** Newest entries that are held in memory and listed; the file keeps all. */
const HELD = 500

/** A line of the log: an entry with its number, or that an entry never came to be. */
const logLine = z.union([
  revisionEntry.extend({ n: z.int().min(1) }),
  z.object({ n: z.int().min(1), void: z.int().min(1) }),
])

/**
 * The revisions of one config, kept beside it: a line each in `FILE.revisions.jsonl`, the whole text of each in
 * `FILE.revisions/REVISION.yaml`. Lines are only ever added.
 *
 * An entry is written before the config is replaced, so that no change goes unrecorded; whether it came to be is
 * told by the config itself (`settle`). Both files are plain text for a person to read when all else is gone.
 */
export class RevisionLog {
  readonly #configPath: string
  readonly #linesPath: string
  readonly #textsPath: string
  #entries: (RevisionEntry & { readonly n: number })[] = []
  #total = 0
  #last = 0

  constructor(configPath: string) {
    this.#configPath = configPath
    this.#linesPath = `${configPath}.revisions.jsonl`
    this.#textsPath = `${configPath}.revisions`
  }

  /** Reads what is there; returns how many lines could not be understood. They stay in the file. */
  async open(): Promise<number> {
    const text = await readFile(this.#linesPath, 'utf8').catch((error: NodeJS.ErrnoException) => {
      if (error.code === 'ENOENT') return ''
      throw error
    })
    let strange = 0
    for (const line of text.split('\n').filter((one) => one.trim() !== '')) {
      const parsed = logLine.safeParse(json(line))
      if (parsed.success) this.#take(parsed.data)
      else strange += 1
    }
    return strange
  }

  /** The newest entry; null before the first. */
  get newest(): RevisionEntry | null {
    return this.#entries.at(-1) ?? null
  }

  /** Text of the newest entry; null when it is not there any more. */
  newestText(): Promise<string | null> {
    const name = `${this.newest?.revision ?? ''}.yaml`
    return readFile(join(this.#textsPath, name), 'utf8').catch(() => null)
  }

  /** Newest first. */
  list(limit: number): { revisions: RevisionEntry[]; total: number } {
    const newest = this.#entries.slice(-limit).reverse()
    return { revisions: newest.map(({ n: _, ...entry }) => entry), total: this.#total }
  }

  /** Records a revision with its text. Throws EVP_CONFIG_WRITE; nothing is recorded then. */
  async add(entry: Omit<RevisionEntry, 'revision' | 'previous' | 'sha256'>, text: string): Promise<void> {
    const revision = revisionOf(text)
    // Nobody may read here what he may not read in the config.
    const { mode } = await stat(this.#configPath).catch(() => ({ mode: 0o600 }))
    await mkdir(this.#textsPath, { recursive: true, mode: 0o755 }).catch(() => {}) // the write says why
    await writeOnce(join(this.#textsPath, `${revision}.yaml`), text, mode & 0o666)
    const sha256 = createHash('sha256').update(text).digest('hex')
    const line = { n: this.#last + 1, revision, previous: this.newest?.revision ?? null, ...entry, sha256 }
    await appendLine(this.#linesPath, JSON.stringify(line), mode & 0o666)
    this.#take(line)
  }

  /**
   * Strikes out the newest entry when the config still says what it said before it: the change was recorded, and
   * then ended before the file was replaced.
   */
  async settle(current: string): Promise<void> {
    const newest = this.#entries.at(-1)
    if (newest === undefined || newest.revision === current || newest.previous !== current) return
    const line = { n: this.#last + 1, void: newest.n }
    this.#take(line)
    await appendLine(this.#linesPath, JSON.stringify(line), 0o600)
  }

  #take(line: z.output<typeof logLine>): void {
    this.#last = Math.max(this.#last, line.n)
    if ('void' in line) {
      const before = this.#entries.length
      this.#entries = this.#entries.filter(({ n }) => n !== line.void)
      this.#total -= before - this.#entries.length
      return
    }
    this.#entries.push(line)
    this.#total += 1
    if (this.#entries.length > HELD) this.#entries.shift()
  }
}

function json(line: string): unknown {
  try {
    return JSON.parse(line)
  } catch {
    return undefined
  }
}
