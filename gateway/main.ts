import type { ZoneNow } from '../shared/schemas/now.ts'
import { Gateway } from './gateway.ts'

export interface RunOptions {
  readonly configPath: string
  readonly port?: number
  readonly host?: string
  /** The first line on stdout is then `{"ready":true,"address":…}` for a program to read. */
  readonly json?: boolean
  /** Told when a recording has been played to its end: every zone as it was with its last row. */
  readonly recordingEnded?: (zones: readonly ZoneNow[]) => void
}

/**
 * Runs a gateway until SIGINT, SIGTERM or the end of the process that started it.
 * Resolves when it has stopped; rejects with an EvenpullError when it cannot start or go on.
 */
export async function runGateway({ json = false, ...options }: RunOptions): Promise<void> {
  const log = (line: string) => console.error(`${new Date().toISOString()} ${line}`)
  const { promise: ended, resolve: end, reject: fail } = deferred()
  // Before anything is started: what asks for the end meanwhile is heard, and nothing outlives who asked.
  for (const event of ENDINGS) process.once(event, end)
  try {
    if (parentIsGone()) return
    const { gateway, host, port, protocol } = await Gateway.start({ ...options, log, failed: fail })
    const address = `${protocol}://${host.includes(':') ? `[${host}]` : host}:${port}`
    if (!parentIsGone()) console.log(json ? JSON.stringify({ ready: true, address }) : `Evenpull is live at ${address}`)
    await ended
    await gateway.stop()
  } finally {
    for (const event of ENDINGS) process.off(event, end)
    // A parent that listens would keep this process alive after all is closed.
    if (process.connected) process.disconnect()
  }
}

const ENDINGS = ['SIGINT', 'SIGTERM', 'disconnect'] as const

/** Started over a channel whose other end has closed: `disconnect` may have come before anybody listened. */
function parentIsGone(): boolean {
  return process.connected === false
}

function deferred() {
  let resolve: () => void = () => {}
  let reject: (error: Error) => void = () => {}
  const promise = new Promise<void>((done, failed) => {
    resolve = done
    reject = failed
  })
  return { promise, resolve: () => resolve(), reject: (error: Error) => reject(error) }
}
