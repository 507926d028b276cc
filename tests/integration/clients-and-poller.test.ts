import { mkdtempSync, readFileSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, beforeAll, expect, test } from 'vitest'
import { type GatewayProcess, startGatewayProcess, untilAnswer } from './support/gateway.ts'
import { type SimulatorProcess, startSimulatorProcess } from './support/simulator.ts'
import { StreamPeer, until } from './support/stream-client.ts'

const CLIENTS = 20
/** Polls looked at in each part of a round. */
const POLLS = 300
/** What the machine does beside moves both shares: clients that slow the poller would do so in every round. */
const ROUNDS = 4
const MOST_MORE = 0.05

let folder = ''
let simulator: SimulatorProcess
let gateway: GatewayProcess
beforeAll(async () => {
  folder = mkdtempSync(join(tmpdir(), 'evenpull-clients-'))
  const config = join(folder, 'demo.yaml')
  simulator = await startSimulatorProcess('demo', '--write-config', config)
  gateway = await startGatewayProcess(readFileSync(config, 'utf8'))
})
afterAll(async () => {
  await gateway?.stop()
  await simulator?.stop()
  rmSync(folder, { recursive: true, force: true })
})

async function counts(): Promise<{ polls: number; missed: number }> {
  const [device] = (await gateway.health()).devices
  if (device === undefined) return { polls: 0, missed: 0 } // the polling process has not spoken yet
  const missed = device.missedTicks
  return { polls: device.requests / Math.max(1, device.plan.length) + missed, missed }
}

/** Share of ticks left out over the next polls. */
async function missedShare(): Promise<number> {
  const before = await counts()
  const after = await untilAnswer(counts, ({ polls }) => polls >= before.polls + POLLS, 60_000)
  return (after.missed - before.missed) / (after.polls - before.polls)
}

async function crowd(): Promise<StreamPeer[]> {
  const port = Number(new URL(gateway.address).port)
  const peers = await Promise.all(
    Array.from({ length: CLIENTS }, () => StreamPeer.open(port, { 'coater-outfeed': undefined })),
  )
  peers[0]?.socket.pause()
  const others = peers.slice(1)
  await until(() => others.every((peer) => peer.rows > 0), 'samples at every client that reads')
  return peers
}

test('twenty clients, one of them stalled, cost the poller no ticks', { timeout: 300_000 }, async () => {
  await untilAnswer(counts, ({ polls }) => polls >= 2 * POLLS, 60_000)
  const more: number[] = []
  for (let round = 0; round < ROUNDS && !more.some((share) => share <= MOST_MORE); round++) {
    const alone = await missedShare()
    const peers = await crowd()
    more.push((await missedShare()) - alone)
    for (const peer of peers) peer.socket.terminate()
  }
  expect(Math.min(...more), 'share of ticks missed beyond those missed without clients').toBeLessThanOrEqual(MOST_MORE)
})
