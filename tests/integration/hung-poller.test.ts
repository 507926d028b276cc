import { afterEach, describe, expect, test } from 'vitest'
import type { Health } from '../../shared/schemas/health.ts'
import { type RecordingServer, recordingServer } from './recording-server.ts'
import { tcpDevice, twoCells } from './support/cell-config.ts'
import { type GatewayProcess, startGatewayProcess, untilAnswer } from './support/gateway.ts'
import { childrenOf, isAlive, wordsOf } from './support/process-tree.ts'

let device: RecordingServer | undefined
let gateway: GatewayProcess | undefined
afterEach(async () => {
  await gateway?.stop()
  await device?.close()
})

describe.skipIf(process.platform !== 'linux')('a polling process that hangs', () => {
  test('loses every device within seconds, is ended, and a new one polls again', { timeout: 180_000 }, async () => {
    device = await recordingServer({ register: () => 12_000 })
    const running = await startGatewayProcess(twoCells(tcpDevice(device.port)))
    gateway = running
    const stateOf = ({ devices }: Health) => devices[0]?.state
    await untilAnswer(running.health, (health) => stateOf(health) === 'answering')
    const pollingPid = () => childrenOf(running.pid).find((pid) => wordsOf(pid).includes('polling-process.mjs')) ?? 0

    const hung = pollingPid()
    process.kill(hung, 'SIGSTOP')
    const lost = await untilAnswer(running.health, (health) => stateOf(health) === 'lost', 60_000)
    expect(lost.status).toBe('lost')
    expect(lost.devices[0]?.lastError?.message).toContain('the polling process does not report')

    await untilAnswer(running.health, (health) => stateOf(health) === 'answering', 90_000)
    expect(isAlive(hung)).toBe(false)
    expect(pollingPid()).not.toBe(hung)
    expect(pollingPid()).toBeGreaterThan(0)
  })
})
