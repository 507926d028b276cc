import { createInterface } from 'node:readline'
import { fileURLToPath } from 'node:url'
import type { ControlCommand } from '../../../simulator/control.ts'
import type { MachineState } from '../../../simulator/physics/machine.ts'
import type { Endpoint } from '../../../simulator/simulator.ts'
import { end, start } from './processes.ts'

const MAIN = fileURLToPath(new URL('../../../simulator/main.ts', import.meta.url))

/** Words that start the simulator as its own process. */
export const simulatorWords = (...options: readonly string[]): string[] => ['--import', 'tsx', MAIN, ...options]

/** The simulator's own account of one instant. */
interface SimulatorDump {
  readonly ok: true
  readonly state: MachineState
  readonly registers: Readonly<Record<string, readonly number[]>>
}

/** The simulator as its own process, under control. */
export interface SimulatorProcess {
  readonly pid: number
  readonly endpoints: readonly Endpoint[]
  /** TCP port of the device. */
  portOf(device: string): number
  ask(command: ControlCommand): Promise<unknown>
  dump(): Promise<SimulatorDump>
  /** Sends the signal and resolves with the exit code. */
  stop(signal?: 'SIGTERM' | 'SIGINT'): Promise<number | null>
}

/** Starts a scenario on free ports. Rejects with what it printed when it does not come up. */
export async function startSimulatorProcess(...options: readonly string[]): Promise<SimulatorProcess> {
  const child = start(
    process.execPath,
    simulatorWords(...options, '--port', '0', '--port2', '0', '--json', '--control'),
  )
  const exited = new Promise<number | null>((resolve) => child.once('exit', resolve))
  let complaints = ''
  child.stderr.on('data', (chunk) => {
    complaints += String(chunk)
  })
  const lines = createInterface({ input: child.stdout })[Symbol.asyncIterator]()
  const next = async (): Promise<unknown> => {
    const { value, done } = await lines.next()
    if (done === true) throw new Error(`the simulator ended: ${complaints}`)
    return JSON.parse(value)
  }
  const ready = (await next()) as { ready: true; endpoints: Endpoint[] }
  const ask = (command: ControlCommand) => {
    child.stdin.write(`${JSON.stringify(command)}\n`)
    return next()
  }
  return {
    pid: child.pid ?? 0,
    endpoints: ready.endpoints,
    portOf: (device) => {
      const found = ready.endpoints.find((endpoint) => endpoint.device === device && endpoint.port !== undefined)
      if (found?.port === undefined) throw new Error(`no TCP endpoint of ${device}`)
      return found.port
    },
    ask,
    dump: () => ask({ do: 'state' }) as Promise<SimulatorDump>,
    stop: async (signal = 'SIGTERM') => {
      child.kill(signal)
      const deadline = setTimeout(() => void end(child), 10_000)
      const code = await exited
      clearTimeout(deadline)
      return code
    },
  }
}
