import { readFileSync } from 'node:fs'
import { dirname, join } from 'node:path'
import { configWithAddresses } from '../../../simulator/write-config.ts'
import { type GatewayProcess, startGatewayProcess, untilAnswer } from './gateway.ts'
import { type SimulatorProcess, startSimulatorProcess } from './simulator.ts'

/** The invented line of a fresh install, simulator and gateway as processes of their own, under a technician's hands. */
export interface InstallLine {
  readonly zone: string
  readonly address: string
  readonly gateway: GatewayProcess
  readonly simulator: SimulatorProcess
  readonly storePath: string
  /** Does something at the machine; rejects when it was refused or is no act. */
  act(act: string, args?: Readonly<Record<string, unknown>>): Promise<unknown>
  stop(): Promise<void>
}

export async function startInstallLine(change: (text: string) => string = (text) => text): Promise<InstallLine> {
  const simulator = await startSimulatorProcess('install')
  const file = readFileSync(new URL('../../../simulator/scenarios/install.yaml', import.meta.url), 'utf8')
  const text = configWithAddresses(file, [{ id: 'amplifier', host: '127.0.0.1', port: simulator.portOf('amplifier') }])
  const gateway = await startGatewayProcess(change(text))
  const { zones } = await gateway.get<{ zones: { id: string }[] }>('/api/zones')
  const zone = zones[0]?.id ?? ''
  await untilAnswer(
    () => gateway.now(zone),
    ({ total }) => total.value !== null,
    60_000,
  )
  return {
    zone,
    address: gateway.address,
    gateway,
    simulator,
    storePath: join(dirname(gateway.configPath), '.evenpull', 'line.yaml.sqlite'),
    async act(act, args = {}) {
      const answer = (await simulator.ask({ do: 'act', act, ...args })) as {
        ok: boolean
        error?: string
        refused?: unknown
      }
      if (!answer.ok) throw new Error(`${act}: ${answer.error ?? JSON.stringify(answer.refused)}`)
      return answer
    },
    async stop() {
      await gateway.stop()
      await simulator.stop()
    },
  }
}
