import { mkdir, readFile, rename } from 'node:fs/promises'
import { basename, dirname, join } from 'node:path'
import { putWhole } from '../config/edit/atomic-write.ts'
import { type KeptStates, keptStates, NOTHING_KEPT, type StateKeeper } from './kept-states.ts'

const FOLDER = '.evenpull'

/** States in `.evenpull/CONFIG.alarms.json` beside the config, always whole. */
export class StateFile implements StateKeeper {
  readonly #path: string
  readonly #log: (line: string) => void

  constructor(configPath: string, log: (line: string) => void) {
    this.#path = join(dirname(configPath), FOLDER, `${basename(configPath)}.alarms.json`)
    this.#log = log
  }

  /** A file that cannot be understood is put aside under another name: somebody may still want to read it. */
  async load(): Promise<KeptStates> {
    try {
      return keptStates.parse(JSON.parse(await readFile(this.#path, 'utf8')))
    } catch (error) {
      if ((error as NodeJS.ErrnoException).code === 'ENOENT') return NOTHING_KEPT
      const aside = `${this.#path}.not-understood`
      await rename(this.#path, aside).catch(() => {})
      this.#log(`alarm states could not be read and were put aside as ${aside}: ${String(error).slice(0, 200)}`)
      return NOTHING_KEPT
    }
  }

  async save(states: KeptStates): Promise<void> {
    await mkdir(dirname(this.#path), { recursive: true, mode: 0o755 })
    await putWhole(this.#path, `${JSON.stringify(states)}\n`, 0o600)
  }
}
