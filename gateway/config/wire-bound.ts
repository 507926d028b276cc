import type { DevicePlan, PlannedRequest } from '../poller/types.ts'
import { bitsPerCharacter, type SerialDevice, silenceMs } from '../transports/modbus/silence.ts'
import { type Finding, wrong } from './finding.ts'

/** Unit, function, address (2), count (2), CRC (2). @source Modbus Application Protocol V1.1b3 §6.3, §6.4 */
const REQUEST_BYTES = 8
/** Unit, function, byte count, CRC (2) around two bytes a register. @source the same */
const ANSWER_FRAME_BYTES = 5

/** Characters of one request and its answer. */
function charactersOf(request: PlannedRequest): number {
  return REQUEST_BYTES + ANSWER_FRAME_BYTES + 2 * request.count
}

/**
 * Shortest time one poll can take on the wire, ms: every request, its answer, and the silence after
 * each of both (T3.5, MODBUS over Serial Line V1.02 §2.5.1.1). The device's own thinking time comes on top, so a real line is slower.
 */
export function pollMs(requests: readonly PlannedRequest[], device: SerialDevice): number {
  const characters = requests.reduce((sum, request) => sum + charactersOf(request), 0)
  return (1000 * characters * bitsPerCharacter(device)) / device.baud + 2 * requests.length * silenceMs(device)
}

/** Most polls a second the wire can carry; infinite without requests. */
export function maxPollsPerSecond(requests: readonly PlannedRequest[], device: SerialDevice): number {
  return 1000 / pollMs(requests, device)
}

/** Devices that are asked for more polls a second than their wire can carry, with the arithmetic. */
export function checkWireBounds(plans: readonly DevicePlan[]): Finding[] {
  return plans.flatMap(({ device, requests }, index) => {
    if (device.transport !== 'modbus-rtu' || requests.length === 0) return []
    const bound = maxPollsPerSecond(requests, device)
    if (device.rate_hz <= bound) return []
    const message = `device ${device.id}: rate_hz: ${device.rate_hz} polls a second do not fit the wire: `
    return [wrong(['devices', index, 'rate_hz'], message + arithmetic(requests, device), 'EVP_CONFIG_RATE')]
  })
}

/** The bound of a device's wire, worked out in words. */
function arithmetic(requests: readonly PlannedRequest[], device: SerialDevice): string {
  const characters = requests.reduce((sum, request) => sum + charactersOf(request), 0)
  const bits = bitsPerCharacter(device)
  const sending = (1000 * characters * bits) / device.baud
  const silence = silenceMs(device)
  const answers = requests.map(({ count }) => `${REQUEST_BYTES} + ${ANSWER_FRAME_BYTES} + 2×${count}`).join(' + ')
  return (
    `one poll is ${requests.length} request${requests.length === 1 ? '' : 's'} of ${REQUEST_BYTES} bytes and ` +
    `${requests.length === 1 ? 'its answer' : 'their answers'}, ${answers} = ${characters} characters of ${bits} bits ` +
    `at ${device.baud} baud = ${sending.toFixed(2)} ms, and ${2 * requests.length} silences of ${silence.toFixed(2)} ms: ` +
    `${pollMs(requests, device).toFixed(2)} ms, so at most ${roundDown(maxPollsPerSecond(requests, device))} a second`
  )
}

/** Three digits, never more than the value: a rate that can be copied into a config. */
export function roundDown(value: number): number {
  const step = 10 ** (Math.floor(Math.log10(value)) - 2)
  return Number((Math.floor(value / step) * step).toPrecision(3))
}
