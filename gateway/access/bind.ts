import { EvenpullError } from '../../shared/errors.ts'
import { isLoopback } from '../config/loopback.ts'
import { readYaml } from '../config/yaml-source.ts'

/**
 * Why a gateway may not bind there: an address others can reach needs users who log in. Null when it may. `text` is the
 * config's, to say where the address stands; null where it came from the command line.
 */
export function openBindError(
  host: string,
  hasUsers: boolean,
  config: { readonly path: string; readonly text: string | null },
): EvenpullError | null {
  if (isLoopback(host) || hasUsers) return null
  const message = `gateway: host: binding to ${host} would open the gateway to the network, and there are no users yet`
  const remedy = `Add a first user: evenpull users add ${config.path} NAME --role engineer. Or bind to 127.0.0.1.`
  if (config.text === null) return new EvenpullError('EVP_BIND_OPEN', message, { remedy })
  const place = readYaml(config.text, config.path).place(['gateway', 'host'], 'value')
  return new EvenpullError('EVP_BIND_OPEN', message, { remedy, place })
}
