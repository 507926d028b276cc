import { z } from 'zod'
import type { Engine } from './engine.ts'
import { activeFault } from './faults/active.ts'
import type { Faults } from './faults/faults.ts'
import type { Machine } from './physics/machine.ts'
import type { FieldDevice } from './servers/field-device.ts'
import { catalogue } from './technician/catalogue.ts'
import type { Technician } from './technician/technician.ts'

/** What may be asked of a running simulator, one JSON object a line. */
const controlCommand = z.discriminatedUnion('do', [
  /** The state now, with the parameters' truth and the registers of every device. */
  z.strictObject({ do: z.literal('state') }),
  /** Stop and resume simulated time. */
  z.strictObject({ do: z.literal('pause') }),
  z.strictObject({ do: z.literal('resume') }),
  /** Change one parameter, for example zones.edge-strip.cells.drive_side.gain. */
  z.strictObject({ do: z.literal('set'), path: z.string(), value: z.union([z.number(), z.boolean(), z.string()]) }),
  /** Registers stay as they are now; null value of `register` gives it back. */
  z.strictObject({ do: z.literal('hold'), device: z.string(), on: z.boolean() }),
  z.strictObject({ do: z.literal('silent'), device: z.string(), on: z.boolean() }),
  z.strictObject({
    do: z.literal('force'),
    device: z.string(),
    register: z.string(),
    value: z.union([z.number(), z.literal('NaN'), z.null()]),
  }),
  /** A technician does something at the machine; what the act asks for stands beside `act`. */
  z.looseObject({ do: z.literal('act'), act: z.string() }),
  /** Every act with its cost, caution, what state it needs and which arguments it takes. */
  z.strictObject({ do: z.literal('acts') }),
  /** Something goes wrong with the machine, and everything is as before. */
  z.strictObject({ do: z.literal('fault'), fault: activeFault }),
  z.strictObject({ do: z.literal('clear-faults') }),
  /** The line under its controls instead of its programme, and back. */
  z.strictObject({ do: z.literal('manual'), on: z.boolean() }),
])
export type ControlCommand = z.infer<typeof controlCommand>

/** The running parts a command acts on. */
export interface Controlled {
  readonly machine: Machine
  readonly engine: Engine
  readonly devices: readonly FieldDevice[]
  readonly technician: Technician
  readonly faults: Faults
}

/** Carries out one line and returns the answer, one JSON object; a wrong line changes nothing and says why. */
export function runControlLine(line: string, controlled: Controlled): object {
  try {
    const command = controlCommand.parse(JSON.parse(line))
    return { ok: true, ...runCommand(command, controlled) }
  } catch (error) {
    return { ok: false, error: error instanceof Error ? error.message : String(error) }
  }
}

function runCommand(command: ControlCommand, controlled: Controlled): object {
  const { machine, engine, devices, technician, faults } = controlled
  switch (command.do) {
    case 'state':
      return { ...stateDump(engine, devices), faults: faults.told() }
    case 'pause':
      engine.pause()
      return {}
    case 'resume':
      engine.resume()
      return {}
    case 'set':
      engine.state()
      setParameter(machine, command.path, command.value)
      return {}
    case 'hold':
      deviceOf(devices, command.device).hold(command.on)
      return {}
    case 'silent':
      deviceOf(devices, command.device).silent = command.on
      return {}
    case 'force': {
      const value = command.value === 'NaN' ? Number.NaN : command.value
      deviceOf(devices, command.device).force(command.register, value)
      return {}
    }
    case 'act': {
      const { do: _, act, ...said } = command
      engine.state()
      const result = technician.do(act, said)
      return { ok: result.refused === undefined, ...result }
    }
    case 'acts':
      return { acts: catalogue() }
    case 'fault':
      engine.state()
      faults.add(command.fault)
      return { faults: faults.told() }
    case 'clear-faults':
      engine.state()
      faults.clear()
      return { faults: [] }
    case 'manual':
      engine.state()
      return { state: technician.manual(command.on) }
  }
}

function stateDump(engine: Engine, devices: readonly FieldDevice[]): object {
  const state = engine.state()
  const registers = Object.fromEntries(devices.map((device) => [device.spec.id, device.image()]))
  return { state, registers, skippedSeconds: engine.skippedSeconds }
}

function deviceOf(devices: readonly FieldDevice[], id: string): FieldDevice {
  const device = devices.find((candidate) => candidate.spec.id === id)
  if (device !== undefined) return device
  throw new RangeError(`there is no device ${id}; there are ${devices.map((d) => d.spec.id).join(', ')}`)
}

/**
 * Changes one parameter of a running machine. Throws RangeError on a path that leads nowhere, on a
 * value of another type, and on a path of rollers no web can take; nothing is changed then.
 */
function setParameter(machine: Machine, path: string, value: number | boolean | string): void {
  const names = path.split('.')
  const last = names.pop() ?? ''
  let holder: unknown = machine.parameters
  for (const name of names) holder = ownField(holder, name, path)
  const old = ownField(holder, last, path)
  if (typeof old !== typeof value) throw new RangeError(`${path} is a ${typeof old}, not a ${typeof value}`)
  const fields = holder as Record<string, unknown>
  fields[last] = value
  try {
    machine.refresh()
  } catch (error) {
    fields[last] = old
    throw error
  }
}

function ownField(holder: unknown, name: string, path: string): unknown {
  if (typeof holder === 'object' && holder !== null && Object.hasOwn(holder, name)) {
    return (holder as Record<string, unknown>)[name]
  }
  throw new RangeError(`there is no parameter ${path}: "${name}" is not there`)
}
