import { z } from 'zod'
import { device, modbusTcpDevice } from '../../shared/schemas/config/device.ts'
import { configSchema } from '../../shared/schemas/config.ts'
import { explainIssues } from './explain.ts'
import type { Finding } from './finding.ts'
import { valueAt } from './json-schema.ts'
import { nearest } from './nearest.ts'

const TRANSPORTS: readonly string[] = device.options.map((option) => option.shape.transport.value)
/** The keys of a device of any kind. */
const { id, name, rate_hz } = modbusTcpDevice.shape
const anyDevice = z.looseObject({ id, name, rate_hz })

/** A device whose transport is none: without it nobody knows which keys belong there. */
interface Misnamed {
  readonly index: number
  /** The transport that was probably meant; null when none is near. */
  readonly meant: string | null
}

/** The file with every misspelt transport as it was meant, so that what depends on it can be checked too. */
export function asMeant(value: unknown): unknown {
  const meant = new Map(misnamedIn(value).map((one) => [one.index, one.meant]))
  const devices = devicesIn(value).map((one, index) => {
    const transport = meant.get(index)
    return transport == null ? one : { ...(one as object), transport }
  })
  return meant.size === 0 ? value : { ...(value as object), devices }
}

/** What else is wrong with a device whose transport is none: by the one that was meant, or in the keys that all have. */
export function explainMisnamed(value: unknown): Finding[] {
  const misnamed = misnamedIn(value)
  if (misnamed.length === 0) return []
  const whole = asMeant(value)
  const issues = configSchema.safeParse(whole).error?.issues ?? []
  return misnamed.flatMap(({ index, meant }) => {
    const own =
      meant === null
        ? (anyDevice.safeParse(devicesIn(value)[index]).error?.issues ?? []).map((issue) => ({
            ...issue,
            path: ['devices', index, ...issue.path],
          }))
        : issues.filter(({ path }) => path[0] === 'devices' && path[1] === index)
    return explainIssues(own, whole)
  })
}

function devicesIn(value: unknown): readonly unknown[] {
  const devices = valueAt(value, ['devices'])
  return Array.isArray(devices) ? devices : []
}

function misnamedIn(value: unknown): Misnamed[] {
  return devicesIn(value).flatMap((one, index) => {
    if (typeof one !== 'object' || one === null || Array.isArray(one)) return []
    const transport = valueAt(one, ['transport'])
    if (typeof transport !== 'string') return [{ index, meant: null }]
    return TRANSPORTS.includes(transport) ? [] : [{ index, meant: nearest(transport, TRANSPORTS) }]
  })
}
