import { Gateway } from './gateway.ts'

export interface RunOptions {
  readonly configPath: string
  readonly port?: number
  readonly host?: string
  /** The first line on stdout is then `{"ready":true,"address":…}` for a program to read. */
  readonly json?: boolean
}

/**
 * Runs a gateway until SIGINT, SIGTERM or the end of the process that started it.
 * Resolves when it has stopped; rejects with an EvenpullError when it cannot start or go on.
 */
export async function runGateway({ json = false, ...options }: RunOptions): Promise<void> {
  const log = (line: string) => console.error(`${new Date().toISOString()} ${line}`)
  const { promise: ended, resolve: end, reject: fail } = deferred()
  const { gateway, host, port } = await Gateway.start({ ...options, log, failed: fail })
  const address = `http://${host.includes(':') ? `[${host}]` : host}:${port}`
  console.log(json ? JSON.stringify({ ready: true, address }) : `Evenpull is live at ${address}`)
  for (const event of ['SIGINT', 'SIGTERM', 'disconnect'] as const) process.once(event, end)
  await ended
  await gateway.stop()
  // A parent that listens would keep this process alive after all is closed.
  if (process.connected) process.disconnect()
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
