import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { stringify } from 'yaml'
import type { ConfigInput } from '../../../shared/schemas/config.ts'
import type { Health } from '../../../shared/schemas/health.ts'
import type { ZoneNow } from '../../../shared/schemas/now.ts'
import { patientFetch } from './patient-fetch.ts'
import { start, untilPrinted } from './processes.ts'

const EVENPULL = fileURLToPath(new URL('../../../gateway/cli/evenpull.mjs', import.meta.url))

/** The gateway as a user runs it: its own process, a config file in a folder of its own. */
export interface GatewayProcess {
  readonly pid: number
  readonly address: string
  readonly configPath: string
  write(config: ConfigInput | string): void
  get<T>(path: string): Promise<T>
  now(zone: string): Promise<ZoneNow>
  health(): Promise<Health>
  /** Everything it has said on stderr. */
  log(): string
  /** SIGTERM; resolves to the exit code. */
  stop(): Promise<number | null>
}

/**
 * @param before is told the folder of the config before the gateway starts, to put into it what a run before left there
 * @param more further arguments of the command
 */
export async function startGatewayProcess(
  config: ConfigInput | string,
  port = 0,
  before: (folder: string) => void | Promise<void> = () => {},
  more: readonly string[] = [],
): Promise<GatewayProcess> {
  const folder = mkdtempSync(join(tmpdir(), 'evenpull-gateway-'))
  await before(folder)
  const configPath = join(folder, 'line.yaml')
  const write = (next: ConfigInput | string) =>
    writeFileSync(configPath, typeof next === 'string' ? next : stringify(next))
  write(config)
  const child = start(process.execPath, [EVENPULL, 'run', configPath, '--json', '--port', String(port), ...more])
  let log = ''
  child.stderr.on('data', (chunk) => {
    log += String(chunk)
  })
  const [, address = ''] = await untilPrinted(child, /"address":"([^"]+)"/)
  const exited = new Promise<number | null>((resolve) => child.once('exit', resolve))
  const get = async <T>(path: string) => (await (await patientFetch(address + path)).json()) as T
  return {
    pid: child.pid ?? 0,
    address,
    configPath,
    write,
    get,
    now: (zone) => get<ZoneNow>(`/api/zones/${zone}/now`),
    health: () => get<Health>('/api/health'),
    log: () => log,
    stop: async () => {
      child.kill('SIGTERM')
      const code = await exited
      rmSync(folder, { recursive: true, force: true })
      return code
    },
  }
}

/** Asks again until the answer satisfies `enough`; rejects with the last answer after `withinMs`. */
export async function untilAnswer<T>(
  ask: () => Promise<T>,
  enough: (answer: T) => boolean,
  withinMs = 60_000,
): Promise<T> {
  const deadline = Date.now() + withinMs
  for (;;) {
    const answer = await ask()
    if (enough(answer)) return answer
    if (Date.now() > deadline)
      throw new Error(`not within ${withinMs} ms, last: ${JSON.stringify(answer).slice(0, 2000)}`)
    await new Promise((resolve) => setTimeout(resolve, 50))
  }
}
