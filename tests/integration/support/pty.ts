import { mkdtemp, rm } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { end, type PipedProcess, start, untilExists } from './processes.ts'

const PTY = 'pty,raw,echo=0'

export interface PtyPair {
  /** Two serial paths joined like a null-modem cable. A pty has no baud rate and no parity. */
  readonly a: string
  readonly b: string
  /** Pulls the cable: both paths vanish. */
  unplug(): Promise<void>
  /** Plugs it in again under the same paths. */
  plug(): Promise<void>
  /** Unplugs and removes the folder. */
  remove(): Promise<void>
}

/** Two ptys joined by socat, under stable paths. */
export async function ptyPair(): Promise<PtyPair> {
  const folder = await mkdtemp(join(tmpdir(), 'evenpull-pty-'))
  const a = join(folder, 'a')
  const b = join(folder, 'b')
  let socat: PipedProcess | null = null
  const pair: PtyPair = {
    a,
    b,
    plug: async () => {
      socat = start('socat', [`${PTY},link=${a}`, `${PTY},link=${b}`])
      await untilExists(a)
      await untilExists(b)
    },
    unplug: async () => {
      if (socat !== null) await end(socat)
      socat = null
      await rm(a, { force: true })
      await rm(b, { force: true })
    },
    remove: async () => {
      await pair.unplug()
      await rm(folder, { recursive: true, force: true })
    },
  }
  await pair.plug()
  return pair
}

export interface PtyBridge {
  readonly path: string
  remove(): Promise<void>
}

/** A serial path whose far end is a TCP port; plugged in again whenever the far end hangs up. */
export async function ptyToTcp(port: number): Promise<PtyBridge> {
  const folder = await mkdtemp(join(tmpdir(), 'evenpull-pty-'))
  const path = join(folder, 'line')
  let removed = false
  let socat: PipedProcess
  const plug = () => {
    socat = start('socat', [`${PTY},link=${path}`, `tcp:127.0.0.1:${port},nodelay`])
    socat.once('exit', () => {
      if (!removed) setTimeout(plug, 20)
    })
  }
  plug()
  await untilExists(path)
  return {
    path,
    remove: async () => {
      removed = true
      await end(socat)
      await rm(folder, { recursive: true, force: true })
    },
  }
}
