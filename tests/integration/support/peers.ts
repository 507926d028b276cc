import { execFile } from 'node:child_process'
import { createHash } from 'node:crypto'
import { existsSync } from 'node:fs'
import { mkdir, readFile, rename } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { promisify } from 'node:util'
import { end, type PipedProcess, start, untilPrinted } from './processes.ts'

const run = promisify(execFile)
const PEERS = new URL('../peers/', import.meta.url)
const LIBMODBUS_SOURCE = fileURLToPath(new URL('libmodbus-server.c', PEERS))
const PYMODBUS_SOURCE = fileURLToPath(new URL('pymodbus-server.py', PEERS))

/** Register values by 0-based address, for holding and input registers alike. */
type RegisterValues = Readonly<Record<number, number>>

export interface ModbusPeer {
  /** TCP port; 0 for RTU. */
  readonly port: number
  stop(): Promise<void>
}

export interface LibmodbusPeer extends ModbusPeer {
  /** Changes a register while it runs; resolves when it has been changed. */
  set(address: number, value: number): Promise<void>
}

interface PeerSettings {
  readonly unit?: number
  /** How many registers there are, from address 0. */
  readonly registers?: number
  readonly values: RegisterValues
}

export type LibmodbusSettings = PeerSettings &
  (
    | { readonly mode: 'tcp'; readonly port?: number }
    /** At 115200 8N1, for a pty. */
    | { readonly mode: 'rtu'; readonly path: string }
  )

const settingsOf = (values: RegisterValues) => Object.entries(values).map(([address, value]) => `${address}=${value}`)

/** Compiled once for each text of the source, outside the working tree. */
async function libmodbusProgram(): Promise<string> {
  const source = await readFile(LIBMODBUS_SOURCE)
  const folder = join(tmpdir(), `evenpull-peers-${process.getuid?.() ?? 0}`)
  const program = join(folder, `libmodbus-server-${createHash('sha256').update(source).digest('hex').slice(0, 16)}`)
  if (existsSync(program)) return program
  await mkdir(folder, { recursive: true, mode: 0o700 })
  const { stdout } = await run('pkg-config', ['--cflags', '--libs', 'libmodbus'])
  const unfinished = `${program}.${process.pid}`
  await run('gcc', ['-O1', '-Wall', LIBMODBUS_SOURCE, '-o', unfinished, ...stdout.trim().split(/\s+/)])
  await rename(unfinished, program)
  return program
}

/** A server made of libmodbus (C). Needs gcc and libmodbus: see `missing`. */
export async function startLibmodbusServer(settings: LibmodbusSettings): Promise<LibmodbusPeer> {
  const place = settings.mode === 'tcp' ? String(settings.port ?? 0) : settings.path
  const numbers = [settings.unit ?? 1, settings.registers ?? 1000].map(String)
  const program = await libmodbusProgram()
  const child = start(program, [settings.mode, place, ...numbers, ...settingsOf(settings.values)])
  const peer = await readyPeer(child)
  return {
    ...peer,
    set: async (address, value) => {
      const changed = untilPrinted(child, new RegExp(`ok ${address} ${value}\\n`))
      child.stdin.write(`set ${address} ${value}\n`)
      await changed
    },
  }
}

/** A server made of pymodbus (Python), TCP only: see `missing`. */
export function startPymodbusServer(settings: PeerSettings): Promise<ModbusPeer> {
  const numbers = [settings.unit ?? 1, settings.registers ?? 1000].map(String)
  return readyPeer(start('/usr/bin/python3', [PYMODBUS_SOURCE, ...numbers, ...settingsOf(settings.values)]))
}

async function readyPeer(child: PipedProcess): Promise<ModbusPeer> {
  const [, port] = await untilPrinted(child, /ready (\d+)\n/)
  return { port: Number(port), stop: () => end(child) }
}
