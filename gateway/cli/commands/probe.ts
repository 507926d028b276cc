import { registerRows } from '../../../lib/codec/register-rows.ts'
import { type ErrorCode, EvenpullError } from '../../../shared/errors.ts'
import type { RegisterView } from '../../../shared/schemas/register-view.ts'
import type { Command, CommandCall } from '../command.ts'
import { choiceFlag, usage, wholeFlag } from '../options.ts'
import { probeDevice } from '../probe-address.ts'
import { registerTables } from '../register-tables.ts'

/** `evenpull probe ADDRESS`: one read of a register range, shown in every type and order. */
export const probe: Command = {
  name: 'probe',
  summary: 'Read a register range once and show it in every type and word order side by side',
  operand: { name: 'ADDRESS', help: 'HOST:PORT, rtu-over-tcp://HOST:PORT, or a serial path such as /dev/ttyUSB0' },
  flags: {
    unit: { type: 'string', value: 'ID', help: 'unit id (1)' },
    function: { type: 'string', value: '3|4', help: '3 holding registers, 4 input registers (4)' },
    address: { type: 'string', value: 'OFFSET', help: 'first register, 0-based offset (0)' },
    count: { type: 'string', value: 'N', help: 'how many registers, 1 to 60 (10)' },
    baud: { type: 'string', value: 'BAUD', help: 'serial only (19200)' },
    parity: { type: 'string', value: 'PARITY', help: 'serial only: none, even or odd (even)' },
    'stop-bits': { type: 'string', value: '1|2', help: 'serial only (1)' },
    timeout: { type: 'string', value: 'MS', help: 'longest wait for the answer, ms (1000)' },
  },
  notes: ['It only reads. On a serial line or a serial gateway, stop any other master first.'],
  async run(call) {
    const view = await readOnce(call)
    if (call.json) call.out(JSON.stringify({ ok: true, ...view }))
    else for (const line of registerTables(view)) call.out(line)
    return 0
  },
}

/** What to do where a gateway would try again: a probe asks once. */
const REMEDIES: Partial<Record<ErrorCode, string>> = {
  EVP_DEVICE_UNREACHABLE: 'Check power, cable, address and port of the device, then probe again.',
  EVP_DEVICE_TIMEOUT: 'Check the unit id and the line, or wait longer with --timeout, then probe again.',
  EVP_DEVICE_CLOSED: 'The device closed the connection: check that no other program holds it, then probe again.',
}

function forOneRead(error: unknown): unknown {
  const remedy = error instanceof EvenpullError ? REMEDIES[error.code] : undefined
  if (!(error instanceof EvenpullError) || remedy === undefined) return error
  return new EvenpullError(error.code, error.message, { remedy, cause: error })
}

async function readOnce({ operand, flags }: CommandCall): Promise<RegisterView> {
  const unitId = wholeFlag(flags, 'unit', 0, 255) ?? 1
  const fn = choiceFlag(flags, 'function', ['3', '4']) === '3' ? 3 : 4
  const address = wholeFlag(flags, 'address', 0, 65_535) ?? 0
  const count = wholeFlag(flags, 'count', 1, 60) ?? 10
  if (address + count > 65_536)
    throw usage(`--address ${address} and --count ${count} end past the last register, 65535`)
  const device = probeDevice(operand, flags)
  if (unitId === 0 && device.transport !== 'modbus-tcp')
    throw usage('--unit 0 is the broadcast of a serial line, which no device answers; expected 1 to 247')
  const { createModbusTransport } = await import('../../transports/modbus/modbus-transport.ts')
  const transport = createModbusTransport(device)
  try {
    const startedMs = Date.now()
    const { words, halfWidthMs } = await transport
      .read({ unitId, function: fn, address, count, items: [] })
      .catch((error: unknown) => {
        throw forOneRead(error)
      })
    return {
      device: operand,
      unitId,
      function: fn,
      address,
      count,
      timeMs: startedMs + halfWidthMs,
      roundTripMs: 2 * halfWidthMs,
      rows: registerRows(words.map(Number), fn, address),
    }
  } finally {
    await transport.close()
  }
}
