import { Engine } from './engine.ts'
import { Faults } from './faults/faults.ts'
import type { Options } from './options.ts'
import { Machine } from './physics/machine.ts'
import { findScenario } from './scenarios/registry.ts'
import type { Scenario } from './scenarios/scenario.ts'
import { FieldDevice } from './servers/field-device.ts'
import { IioTree } from './servers/iio-tree.ts'
import { serveModbusRtu } from './servers/modbus-rtu.ts'
import { serveModbusTcp } from './servers/modbus-tcp.ts'
import { Technician } from './technician/technician.ts'
import { type DeviceAddress, writeConfig } from './write-config.ts'

/** One place where a device can be read. */
export interface Endpoint {
  readonly kind: 'modbus-tcp' | 'modbus-rtu' | 'iio'
  /** host:port, serial path or folder. */
  readonly where: string
  readonly device: string
  readonly unit: number | null
  readonly host?: string
  readonly port?: number
}

/** A running simulator. */
export interface Simulator {
  readonly machine: Machine
  readonly engine: Engine
  readonly devices: readonly FieldDevice[]
  readonly technician: Technician
  readonly faults: Faults
  readonly endpoints: readonly Endpoint[]
  close(): Promise<void>
}

/** Internal step of the physics, s: 1 kHz. */
const STEP_S = 0.001
/** How often time is brought up to now when nobody asks, ms. */
const IDLE_TICK_MS = 50
/** How often the IIO tree is written, ms. */
const IIO_TICK_MS = 20

const monotonicSeconds = () => Number(process.hrtime.bigint()) / 1e9

type Running = { readonly endpoints: readonly Endpoint[]; close(): Promise<void> }

/**
 * Starts a scenario and its servers. Rejects with EVP_USAGE, EVP_PORT_TAKEN or EVP_SERIAL_OPEN;
 * whatever had been opened by then is closed again.
 */
export async function startSimulator(options: Options): Promise<Simulator> {
  const scenario = findScenario(options.scenario)
  const machine = new Machine(scenario.parameters(), scenario.programme, options.seed)
  const engine = new Engine(machine, monotonicSeconds, { step: STEP_S, timeScale: options.timeScale })
  const devices = scenario.devices.map((spec) => new FieldDevice(spec, () => engine.state()))
  const running: Running[] = []
  const close = async () => {
    await Promise.all(running.map((part) => part.close()))
  }
  try {
    for (const [i, device] of devices.entries()) running.push(await startTcp(device, options, i))
    if (options.rtuPath !== null) running.push(await startRtu(devices, options.rtuPath, options.baud))
    if (options.iioFolder !== null) running.push(startIio(engine, scenario, options.iioFolder))
    if (options.writeConfig !== null) {
      writeConfig(scenario.configFile, options.writeConfig, addressesOf(running.flatMap((part) => part.endpoints)))
    }
  } catch (error) {
    await close()
    throw error
  }
  running.push(every(IDLE_TICK_MS, () => engine.state()))
  const technician = new Technician(machine, options.seed, { sound: scenario.parameters() })
  const faults = new Faults(machine, scenario.programme, options.seed)
  return { machine, engine, devices, technician, faults, endpoints: running.flatMap((part) => part.endpoints), close }
}

async function startTcp(device: FieldDevice, options: Options, index: number): Promise<Running> {
  const server = await serveModbusTcp(device, options.host, options.ports[index] ?? device.spec.port)
  const { host, port } = server
  const where = `${host.includes(':') ? `[${host}]` : host}:${port}`
  const endpoint = { kind: 'modbus-tcp', where, device: device.spec.id, unit: device.spec.unitId, host, port } as const
  return { endpoints: [endpoint], close: server.close }
}

async function startRtu(devices: readonly FieldDevice[], path: string, baud: number): Promise<Running> {
  const server = await serveModbusRtu(devices, path, { baud, parity: 'even', stopBits: 1 })
  const endpoints = devices.map(
    ({ spec }) => ({ kind: 'modbus-rtu', where: path, device: spec.id, unit: spec.unitId }) as const,
  )
  return { endpoints, close: server.close }
}

function startIio(engine: Engine, scenario: Scenario, root: string): Running {
  const tree = new IioTree(root, scenario.iio)
  const write = () => {
    const zone = engine.state().zones[scenario.iio.zone]
    if (zone !== undefined) tree.write(zone)
  }
  write()
  const endpoint = { kind: 'iio', where: tree.folder, device: scenario.iio.zone, unit: null } as const
  return { endpoints: [endpoint], close: every(IIO_TICK_MS, write).close }
}

function every(ms: number, run: () => void): Running {
  const timer = setInterval(run, ms)
  return {
    endpoints: [],
    close: async () => clearInterval(timer),
  }
}

/** Where a client on this machine finds a server bound to every interface. */
const LOOPBACK_OF: Readonly<Record<string, string>> = { '0.0.0.0': '127.0.0.1', '::': '::1' }

/** Where each device is reached from this machine. */
export function addressesOf(endpoints: readonly Endpoint[]): DeviceAddress[] {
  return endpoints.flatMap(({ device, host, port }) =>
    host === undefined || port === undefined ? [] : [{ id: device, host: LOOPBACK_OF[host] ?? host, port }],
  )
}
