import { readFile } from 'node:fs/promises'
import { EvenpullError } from '../../shared/errors.ts'
import type { CalibrationRecord, RevisionAction, RevisionList } from '../../shared/schemas/config-write.ts'
import { changedMeanwhile, replaceFile } from './edit/atomic-write.ts'
import { changedKeys, changeWords } from './edit/changed-keys.ts'
import type { KeyEdit } from './edit/key-edits.ts'
import { RevisionLog } from './edit/revision-log.ts'
import { editConfigText } from './edit.ts'
import { ConfigErrors } from './errors.ts'
import { type LoadedConfig, parseConfig, readConfigText, revisionOf } from './load.ts'
import { decodeUtf8 } from './utf8.ts'
import { readYaml } from './yaml-source.ts'

/** A change that somebody answers for. */
export interface ConfigChange {
  readonly baseRevision: string
  readonly who: string
  readonly action: RevisionAction
  readonly record: CalibrationRecord | null
  /** What to change, given what the file says, as plain data. May throw EvenpullError. */
  edits(value: unknown): KeyEdit[]
}

export interface ConfigFileOptions {
  readonly path: string
  readonly nowEpochMs: () => number
  readonly log: (line: string) => void
}

/** The config file and its revisions: changes come one after another, each whole or not at all. */
export class ConfigFile {
  readonly #options: ConfigFileOptions
  readonly #revisions: RevisionLog
  #turn: Promise<unknown> = Promise.resolve()

  constructor(options: ConfigFileOptions) {
    this.#options = options
    this.#revisions = new RevisionLog(options.path)
  }

  /** Reads the log and records what happened to the file while nobody watched. */
  open(): Promise<void> {
    return this.#inTurn(async () => {
      try {
        const strange = await this.#revisions.open()
        if (strange > 0) this.#options.log(`${strange} lines of the revisions could not be understood`)
        await this.#recordByHand()
      } catch (error) {
        this.#options.log(`revisions: ${messageOf(error)}`)
      }
    })
  }

  /** Records that the file was edited by other hands. A failure is logged: the edit is in force all the same. */
  noticed(): Promise<void> {
    return this.#inTurn(async () => {
      try {
        await this.#recordByHand()
      } catch (error) {
        this.#options.log(`an edit by hand could not be recorded: ${messageOf(error)}`)
      }
    })
  }

  list(current: string, limit: number): RevisionList {
    return { current, ...this.#revisions.list(limit) }
  }

  /**
   * Makes a change and returns the config with it, checked whole. A change of nothing writes nothing.
   *
   * Throws EVP_CONFIG_CHANGED when the file no longer says what the change was made from, EVP_CONFIG_WRITE when it
   * cannot be written or recorded, EVP_CONFIG_INVALID and its kin when the rules of the config refuse it. In each
   * case the file is as it was.
   */
  change(change: ConfigChange): Promise<LoadedConfig> {
    return this.#inTurn(() => this.#change(change))
  }

  async #change({ baseRevision, who, action, record, edits }: ConfigChange): Promise<LoadedConfig> {
    const { path, nowEpochMs } = this.#options
    const { bytes, text } = await this.#read()
    if (revisionOf(text) !== baseRevision) throw changedMeanwhile(path, this.#whyChanged(text))
    const before = readYaml(text, path).value
    const next = editConfigText(text, edits(before), path)
    const loaded = checked(next, path)
    if (next === text) return loaded
    await this.#recordByHand()
    const changes = changedKeys(before, readYaml(next, path).value)
    const entry = { timeMs: nowEpochMs(), who, action, words: changeWords(changes), changes, record }
    await this.#revisions.add(entry, next)
    try {
      await replaceFile(path, bytes, next)
    } catch (error) {
      // Else the next start does it.
      await this.#revisions.settle(revisionOf(text)).catch(() => {})
      throw error
    }
    return loaded
  }

  async #read(): Promise<{ bytes: Buffer; text: string }> {
    const { path } = this.#options
    try {
      const bytes = await readFile(path)
      return { bytes, text: decodeUtf8(bytes, path) }
    } catch (cause) {
      throw changedMeanwhile(path, cause instanceof ConfigErrors ? 'it is no longer text' : 'it can no longer be read')
    }
  }

  #whyChanged(text: string): string {
    try {
      parseConfig(text, this.#options.path)
      return 'another edit was saved meanwhile'
    } catch {
      return 'it was edited by hand and holds a mistake, which has to be mended first'
    }
  }

  async #recordByHand(): Promise<void> {
    const { path, nowEpochMs } = this.#options
    const text = await readConfigText(path)
    const current = revisionOf(text)
    await this.#revisions.settle(current)
    const { newest } = this.#revisions
    if (newest?.revision === current) return
    const known = newest === null ? null : await this.#revisions.newestText()
    const value = (from: string) => readYaml(from, path).value
    const changes = known === null ? [] : changedKeys(value(known), value(text))
    const entry = { timeMs: nowEpochMs(), who: null, changes, record: null }
    if (newest === null)
      await this.#revisions.add({ ...entry, action: 'first seen', words: 'The first config that was seen here.' }, text)
    else await this.#revisions.add({ ...entry, action: 'edited by hand', words: changeWords(changes) }, text)
  }

  /** One after another; a failure is its caller's alone. */
  #inTurn<T>(act: () => Promise<T>): Promise<T> {
    const result = this.#turn.then(act, act)
    this.#turn = result.catch(() => {})
    return result
  }
}

/** A change that the rules refuse says so without places: the lines it would have made were never written. */
function checked(text: string, path: string): LoadedConfig {
  try {
    return parseConfig(text, path)
  } catch (error) {
    if (!(error instanceof ConfigErrors)) throw error
    const messages = error.errors.map(({ message }) => message).join('; ')
    throw new EvenpullError(error.code, `the change was refused, nothing was written: ${messages}`, {
      remedy: 'Change what is named and send it again.',
    })
  }
}

const messageOf = (error: unknown) => (error instanceof Error ? error.message : String(error))
