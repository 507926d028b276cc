import { readFileSync, renameSync, writeFileSync } from 'node:fs'
import { parseDocument } from 'yaml'
import { EvenpullError } from '../shared/errors.ts'

/** Where a device really listens. */
export interface DeviceAddress {
  readonly id: string
  readonly host: string
  readonly port: number
}

/** The config text with host and port of these devices put in; comments stay. Throws RangeError on a device it does not have. */
export function configWithAddresses(text: string, addresses: readonly DeviceAddress[]): string {
  const document = parseDocument(text)
  const { devices } = document.toJS() as { devices: { id: string }[] }
  for (const { id, host, port } of addresses) {
    const index = devices.findIndex((device) => device.id === id)
    if (index < 0) throw new RangeError(`the config has no device ${id}`)
    document.setIn(['devices', index, 'host'], host)
    document.setIn(['devices', index, 'port'], port)
  }
  return document.toString({ lineWidth: 0 })
}

/** Writes the scenario's config to `target` with the addresses in use, whole or not at all. Throws EVP_USAGE when it cannot. */
export function writeConfig(source: URL, target: string, addresses: readonly DeviceAddress[]): void {
  const text = configWithAddresses(readFileSync(source, 'utf8'), addresses)
  try {
    writeFileSync(`${target}.new`, text)
    renameSync(`${target}.new`, target)
  } catch (error) {
    const reason = error instanceof Error ? error.message : String(error)
    throw new EvenpullError('EVP_USAGE', `cannot write ${target}: ${reason}`, { cause: error })
  }
}
