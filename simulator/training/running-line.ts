import { readFileSync } from 'node:fs'
import { parseDocument } from 'yaml'
import type { ActiveFault } from '../faults/active.ts'
import { addressesOf, type Simulator, startSimulator } from '../simulator.ts'
import { configWithAddresses } from '../write-config.ts'
import type { TrainingLine } from './training-lines.ts'
import { putWhole } from './whole-file.ts'

/** How the gateway reaches the desk; goes into the config that it watches. */
export interface DeskAddress {
  readonly url: string
  /** Beside the config. */
  readonly secretFile: string
}

/**
 * The machine that runs now, on free ports, and the config file that fits it. A change of line, and a fresh machine of the
 * same line, are other ports in a config written anew: the gateway takes it over while it runs, and begins every window
 * anew, because its devices are others.
 */
export class RunningLine {
  readonly #configPath: string
  readonly #desk: () => DeskAddress
  #now: Simulator | null = null

  constructor(configPath: string, desk: () => DeskAddress) {
    this.#configPath = configPath
    this.#desk = desk
  }

  /** Throws RangeError where a fault cannot be there; the machine that ran before then runs on. */
  async start({ id, scenario }: TrainingLine, faults: readonly ActiveFault[], seed: number): Promise<Simulator> {
    const next = await startSimulator({ ...OPTIONS, scenario: id, seed })
    try {
      for (const fault of faults) next.faults.add(fault)
      await putWhole(this.#configPath, this.#configFor(scenario.configFile, next))
    } catch (error) {
      await next.close()
      throw error
    }
    const before = this.#now
    this.#now = next
    await before?.close()
    return next
  }

  async close(): Promise<void> {
    await this.#now?.close()
    this.#now = null
  }

  /** Nothing of what is hidden is in it: only addresses differ from the line's own config. */
  #configFor(source: URL, { endpoints }: Simulator): string {
    const document = parseDocument(configWithAddresses(readFileSync(source, 'utf8'), addressesOf(endpoints)))
    const { url, secretFile } = this.#desk()
    document.set('training', document.createNode({ url, secret_file: secretFile }))
    return document.toString({ lineWidth: 0 })
  }
}

const OPTIONS = {
  host: '127.0.0.1',
  ports: [0, 0],
  rtuPath: null,
  baud: 115_200,
  iioFolder: null,
  writeConfig: null,
  json: true,
  control: false,
  timeScale: 1,
} as const
