import { type ChildProcess, spawn } from 'node:child_process'
import { readFileSync, rmSync, writeFileSync } from 'node:fs'
import { get as request } from 'node:http'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import type { Health } from '../../shared/schemas/health.ts'
import { childrenOf } from '../integration/support/process-tree.ts'
import { factsOf, type ProcessFacts } from './process-facts.ts'

const EVENPULL = fileURLToPath(new URL('../../gateway/cli/evenpull.mjs', import.meta.url))
const WALL = new URL('./simulated-wall.mjs', import.meta.url).href
const READY_WITHIN_MS = 60_000

/** What a process says of its own memory, in MB, and how many things it holds open besides timers. */
export interface InsideFacts {
  readonly heapMb: number
  readonly externalMb: number
  readonly handles: number
}

/** A gateway as a process of its own, whose wall clock is set from here. */
export class WatchedGateway {
  readonly #folder: string
  readonly #config: string
  #child: ChildProcess | null = null
  #address = ''
  #wallOffsetMs = 0
  log = ''

  constructor(folder: string, config: string) {
    this.#folder = folder
    this.#config = config
    this.#writeOffset()
  }

  get address(): string {
    return this.#address
  }

  get pid(): number {
    return this.#child?.pid ?? 0
  }

  /** What its wall clock shows, epoch ms. */
  get wallMs(): number {
    return Date.now() + this.#wallOffsetMs
  }

  /** Sets its wall clock; a gateway that runs sees it within 0.1 s. */
  setWall(epochMs: number): void {
    this.#wallOffsetMs = Math.round(epochMs - Date.now())
    this.#writeOffset()
  }

  #writeOffset(): void {
    writeFileSync(join(this.#folder, 'wall-offset'), String(this.#wallOffsetMs))
  }

  async start(): Promise<void> {
    rmSync(join(this.#folder, 'inside.json'), { force: true })
    const child = spawn(process.execPath, ['--import', WALL, EVENPULL, 'run', this.#config, '--json', '--port', '0'], {
      env: { ...process.env, ENDURANCE_FOLDER: this.#folder },
      stdio: ['ignore', 'pipe', 'pipe'],
    })
    this.#child = child
    child.stderr?.on('data', (chunk) => {
      this.log = (this.log + String(chunk)).slice(-20_000)
    })
    this.#address = await new Promise((resolve, reject) => {
      let text = ''
      const late = setTimeout(() => reject(new Error(`the gateway was not ready: ${this.log}`)), READY_WITHIN_MS)
      child.stdout?.on('data', (chunk) => {
        text += String(chunk)
        const found = /"address":"([^"]+)"/.exec(text)?.[1]
        if (found === undefined) return
        clearTimeout(late)
        resolve(found)
      })
      child.once('exit', (code) => reject(new Error(`the gateway ended with ${code}: ${this.log}`)))
    })
  }

  /** SIGTERM as a service is stopped, SIGKILL as when the power goes; resolves when it is gone. */
  async end(signal: 'SIGTERM' | 'SIGKILL'): Promise<void> {
    const child = this.#child
    this.#child = null
    if (child === null || child.exitCode !== null || child.signalCode !== null) return
    const gone = new Promise((resolve) => child.once('exit', resolve))
    child.kill(signal)
    await gone
  }

  health(): Promise<Health> {
    return this.get<Health>('/api/health')
  }

  /** Each request has a connection of its own, so that none is counted afterwards. */
  async get<T>(path: string): Promise<T> {
    return JSON.parse(await this.text(path)) as T
  }

  text(path: string): Promise<string> {
    return new Promise((resolve, reject) => {
      const asked = request(this.#address + path, { agent: false }, (answer) => {
        const chunks: Buffer[] = []
        answer.on('data', (chunk: Buffer) => chunks.push(chunk))
        answer.on('end', () => resolve(Buffer.concat(chunks).toString('utf8')))
        answer.on('error', reject)
      })
      asked.on('error', reject)
    })
  }

  facts(): ProcessFacts | null {
    return factsOf(this.pid)
  }

  pollingFacts(): ProcessFacts | null {
    const [child] = childrenOf(this.pid)
    return child === undefined ? null : factsOf(child)
  }

  inside(): InsideFacts | null {
    try {
      const { heapUsed, external, handles } = JSON.parse(readFileSync(join(this.#folder, 'inside.json'), 'utf8'))
      return { heapMb: heapUsed / 1e6, externalMb: external / 1e6, handles }
    } catch {
      return null
    }
  }
}
