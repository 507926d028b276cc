import { access, constants, stat } from 'node:fs/promises'
import type { Config } from '../../shared/schemas/config.ts'
import { type Finding, reasonOf, right, wrong } from './finding.ts'

/** Whether every serial line of the config is there and this user may open it. Nothing is opened: another master may be on it. */
export function lookAtSerialLines({ devices }: Config): Promise<Finding[]> {
  const paths = devices.flatMap((device) => (device.transport === 'modbus-rtu' ? [device.path] : []))
  return Promise.all([...new Set(paths)].map(lookAt))
}

async function lookAt(path: string): Promise<Finding> {
  const what = `serial line ${path}`
  try {
    const facts = await stat(path)
    if (!facts.isCharacterDevice())
      return wrong(what, 'it is no serial line', 'Name a device such as /dev/ttyUSB0 or /dev/serial/by-id/….')
    await access(path, constants.R_OK | constants.W_OK)
    return right(what, 'it is there, and this user may open it')
  } catch (error) {
    const missing = (error as NodeJS.ErrnoException).code === 'ENOENT'
    const remedy = missing
      ? 'Plug the converter in, and name it by /dev/serial/by-id/…: that name does not change with the socket.'
      : 'Add the user to the group of the device (ls -l shows it; dialout on many systems) and log in anew.'
    return wrong(what, `it cannot be opened: ${reasonOf(error)}`, remedy)
  }
}
