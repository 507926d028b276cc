import { type ChildProcess, spawn, spawnSync } from 'node:child_process'
import { existsSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { get as request } from 'node:http'
import { join } from 'node:path'
import { setTimeout as wait } from 'node:timers/promises'
import { fileURLToPath } from 'node:url'
import { leanEnvironment } from '../../gateway/start/lean.mjs'
import { madeAheadFolder } from '../../gateway/start/load-source.mjs'
import type { Health } from '../../shared/schemas/health.ts'
import { childrenOf } from '../integration/support/process-tree.ts'
import { factsOf, openFilesOf, type ProcessFacts } from './process-facts.ts'

const EVENPULL = fileURLToPath(new URL('../../gateway/cli/evenpull.mjs', import.meta.url))
const MAKE_AHEAD = fileURLToPath(new URL('../../gateway/start/make-ahead.mjs', import.meta.url))
const PRELOAD = new URL('./preload.mjs', import.meta.url).href
const READY_WITHIN_MS = 60_000
const COLLECTED_WITHIN_MS = 10_000

/** What a process says of its own memory, in MB, and how many things it holds open besides timers. */
export interface InsideFacts {
  readonly heapMb: number
  readonly externalMb: number
  readonly handles: number
  /** How often it has collected its garbage when it was told to. */
  readonly collected: number
}

/**
 * Makes the gateway ahead where that was not done, as set-up does: the TypeScript loader takes some 25 MB in each of its
 * threads, which no installed gateway has.
 */
export function makeAhead(): void {
  if (existsSync(madeAheadFolder())) return
  const { status } = spawnSync(process.execPath, [MAKE_AHEAD], { stdio: 'inherit' })
  if (status !== 0) throw new Error('the gateway could not be made ahead')
}

/** A gateway as a process of its own, whose wall clock is set from here. */
export class WatchedGateway {
  readonly #folder: string
  readonly #config: string
  #child: ChildProcess | null = null
  #address = ''
  #collected = 0
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

  /** So many readings a second of what it plays reach it, as from a line; null: as many as it takes. */
  feedAt(rateHz: number | null): void {
    writeFileSync(join(this.#folder, 'feed-rate'), rateHz === null ? '' : String(rateHz))
  }

  /** Has it collect its garbage; what it tells from then on is of afterwards. */
  async collect(): Promise<void> {
    this.#collected += 1
    writeFileSync(join(this.#folder, 'collect'), String(this.#collected))
    const deadline = performance.now() + COLLECTED_WITHIN_MS
    while ((this.inside()?.collected ?? 0) < this.#collected && performance.now() < deadline) await wait(100)
  }

  async start(): Promise<void> {
    for (const name of ['inside.json', 'collect', 'feed-rate']) rmSync(join(this.#folder, name), { force: true })
    this.#collected = 0
    const node = ['--expose-gc', '--import', PRELOAD]
    const child = spawn(process.execPath, [...node, EVENPULL, 'run', this.#config, '--json', '--port', '0'], {
      env: { ...leanEnvironment(), ENDURANCE_FOLDER: this.#folder },
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

  openFiles(): readonly string[] {
    return openFilesOf(this.pid)
  }

  pollingOpenFiles(): readonly string[] {
    const [child] = childrenOf(this.pid)
    return child === undefined ? [] : openFilesOf(child)
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
      const { heapUsed, external, handles, collected } = JSON.parse(
        readFileSync(join(this.#folder, 'inside.json'), 'utf8'),
      )
      return { heapMb: heapUsed / 1e6, externalMb: external / 1e6, handles, collected }
    } catch {
      return null
    }
  }
}
