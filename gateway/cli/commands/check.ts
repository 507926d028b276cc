import type { Config } from '../../../shared/schemas/config.ts'
import { openBindError } from '../../access/bind.ts'
import { readUsers, userFileOf } from '../../access/user-file.ts'
import { channelPlace } from '../../channel-place.ts'
import { addressDoubts } from '../../config/address-doubts.ts'
import { ConfigErrors } from '../../config/errors.ts'
import { type LoadedConfig, parseConfig, readConfigText } from '../../config/load.ts'
import { maxPollsPerSecond, roundDown } from '../../config/wire-bound.ts'
import { planRequests } from '../../poller/plan.ts'
import type { DevicePlan } from '../../poller/types.ts'
import type { Command, CommandCall } from '../command.ts'
import { exitCodeOf } from '../exit-codes.ts'
import { errorsAsJson, errorsAsText } from '../print-errors.ts'
import { columns } from '../table.ts'

/** `evenpull check CONFIG`: everything that is wrong with a config, or how it is read. */
export const check: Command = {
  name: 'check',
  summary: 'Check a config: every error with line and column, or how the file is read',
  operand: { name: 'CONFIG', help: 'the YAML file to check' },
  flags: {},
  notes: ['No device is contacted.'],
  async run(call) {
    const text = await readConfigText(call.operand)
    try {
      const loaded = parseConfig(text, call.operand)
      const hasUsers = (await readUsers(userFileOf(call.operand))).length > 0
      const open = openBindError(loaded.config.gateway.host, hasUsers, { path: call.operand, text })
      if (open !== null) throw new ConfigErrors([open])
      report(call, loaded)
      return 0
    } catch (error) {
      if (!(error instanceof ConfigErrors)) throw error
      refuse(call, error, text)
      return exitCodeOf(error.code)
    }
  },
}

function refuse({ json, out, operand }: CommandCall, error: ConfigErrors, text: string): void {
  if (json) {
    out(errorsAsJson(error))
    return
  }
  for (const line of errorsAsText(error, text)) out(line)
  const count = error.errors.length
  const more = error.mayHideMore ? '; more may follow once these are mended' : ''
  out(`${operand} is wrong: ${count} error${count === 1 ? '' : 's'}${more}`)
}

function report({ json, out, operand }: CommandCall, { config, revision }: LoadedConfig): void {
  const plans = planRequests(config)
  const read = asRead(config, plans)
  if (json) out(JSON.stringify({ ok: true, file: operand, revision, ...read }))
  else for (const line of inWords(operand, revision, read)) out(line)
}

function inWords(
  file: string,
  revision: string,
  { devices, channels, zones, doubts }: ReturnType<typeof asRead>,
): string[] {
  return [
    `${file} is right: revision ${revision}`,
    ...devices.flatMap((device) => [
      '',
      `device ${device.id}: ${device.transport}, ${device.rateHz} polls a second${boundWords(device.maxHz)}`,
      ...columns(device.requests.map((request) => [`  ${request.what}`, request.channels.join(', ')])),
    ]),
    '',
    'channels',
    ...columns(channels.map((c) => [`  ${c.id}`, c.measures, c.device, c.where])),
    '',
    'zones',
    ...columns(zones.map((zone) => [`  ${zone.id}`, zone.cells])),
    ...(doubts.length === 0 ? [] : ['', 'look again at', ...doubts.map((doubt) => `  ${doubt}`)]),
  ]
}

const boundWords = (maxHz: number | null) =>
  maxHz === null ? '' : `; its wire carries at most ${roundDown(maxHz)} a second`

/** How the file is read: requests in words, places of channels in both notations, cells of zones. */
function asRead(config: Config, plans: readonly DevicePlan[]) {
  return {
    devices: plans.map(({ device, requests }) => ({
      id: device.id,
      transport: device.transport,
      rateHz: device.rate_hz,
      maxHz: device.transport === 'modbus-rtu' && requests.length > 0 ? maxPollsPerSecond(requests, device) : null,
      requests: requests.map((request) => ({
        what: requestWords(request),
        channels: request.items.map(({ channelId }) => channelId),
      })),
    })),
    channels: config.channels.map((channel) => ({
      id: channel.id,
      measures: channel.measures,
      device: channel.device,
      where: channelPlace(channel),
    })),
    zones: config.zones.map(({ id, cells }) => ({
      id,
      cells: Object.entries(cells)
        .map(([side, channel]) => `${side} ${channel}`)
        .join(', '),
    })),
    doubts: addressDoubts(config),
  }
}

function requestWords({ unitId, function: fn, address, count }: DevicePlan['requests'][number]): string {
  if (fn === null || address === null) return `one reading of ${count}`
  const last = address + count - 1
  const range = count === 1 ? `register ${address}` : `registers ${address}–${last}`
  return `unit ${unitId}, function ${fn}, ${fn === 3 ? 'holding' : 'input'} ${range}`
}
