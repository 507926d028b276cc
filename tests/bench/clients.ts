/** Whether twenty pages, one of them stalled, move the poller: jitter and missed ticks without and with them. */
import { mkdtempSync, readFileSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { startGatewayProcess } from '../integration/support/gateway.ts'
import { startSimulatorProcess } from '../integration/support/simulator.ts'
import { StreamPeer } from '../integration/support/stream-client.ts'
import type { Measured } from './bench.ts'

const SETTLE_MS = 5000
const SECONDS = 15
const CLIENTS = 20

const wait = (ms: number) => new Promise((resolve) => setTimeout(resolve, ms))

export async function run(): Promise<Measured[]> {
  const folder = mkdtempSync(join(tmpdir(), 'evenpull-clients-'))
  const configPath = join(folder, 'demo.yaml')
  const simulator = await startSimulatorProcess('demo', '--write-config', configPath)
  const gateway = await startGatewayProcess(readFileSync(configPath, 'utf8'))
  try {
    await wait(SETTLE_MS)
    const alone = await poller(gateway)
    const { hostname, port } = new URL(gateway.address)
    if (hostname !== '127.0.0.1') throw new Error(`the gateway listens on ${hostname}`)
    const peers = await Promise.all(
      Array.from({ length: CLIENTS }, () => StreamPeer.open(Number(port), { 'coater-outfeed': undefined })),
    )
    peers[0]?.socket.pause()
    const crowded = await poller(gateway)
    for (const peer of peers) peer.socket.terminate()
    return [...alone('no client'), ...crowded(`${CLIENTS} clients, one stalled`)]
  } finally {
    await gateway.stop()
    await simulator.stop()
    rmSync(folder, { recursive: true, force: true })
  }
}

/** What the health of the first device says after some seconds: its windows are 60 s long, so the start is over. */
async function poller(gateway: Awaited<ReturnType<typeof startGatewayProcess>>) {
  const before = (await gateway.health()).devices[0]
  await wait(SECONDS * 1000)
  const after = (await gateway.health()).devices[0]
  const missed = (after?.missedTicks ?? Number.NaN) - (before?.missedTicks ?? Number.NaN)
  return (who: string): Measured[] => [
    { name: `poller jitter p99, ${who}`, value: after?.jitterMs?.p99 ?? Number.NaN, unit: 'ms', note: '100 polls/s' },
    { name: `ticks missed, ${who}`, value: missed, unit: 'ticks', note: `of ${SECONDS * 100}` },
  ]
}
