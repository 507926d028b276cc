import { dirname, sep } from 'node:path'
import type { Config } from '../../shared/schemas/config.ts'
import { LEAN } from '../start/lean.mjs'

export interface UnitFacts {
  /** Absolute paths. */
  readonly node: string
  readonly program: string
  readonly configPath: string
  readonly user: string
  /** Folder of the store, absolute. */
  readonly storeFolder: string
}

/**
 * A systemd service of a gateway: started with the machine, started again when it ends by a fault, as a user of its
 * own that may write nothing but the folders of config and store. Directives: systemd.unit(5), systemd.service(5),
 * systemd.exec(5). Throws RangeError for a path that a unit cannot carry.
 */
export function unitOf(config: Pick<Config, 'plant' | 'line' | 'devices'>, facts: UnitFacts): string {
  const { node, program, configPath, user, storeFolder } = facts
  const name = [config.plant, config.line].filter((part) => part !== undefined).join(', ')
  const beside = dirname(configPath)
  // A folder that is not there yet would keep the service from starting; one inside is made by the gateway itself.
  const folders = isWithin(storeFolder, beside) ? [beside] : [beside, storeFolder]
  const hasSerial = config.devices.some(({ transport }) => transport === 'modbus-rtu')
  return [
    '[Unit]',
    `Description=Evenpull gateway${name === '' ? '' : `: ${plain(name)}`}`,
    'Wants=network-online.target',
    'After=network-online.target time-sync.target',
    '',
    '[Service]',
    'Type=exec',
    `ExecStart=${[node, program, 'run', configPath].map(word).join(' ')}`,
    ...Object.entries(LEAN).map(([name, value]) => `Environment=${word(`${name}=${value}`)}`),
    'Restart=on-failure',
    'RestartSec=5',
    `User=${user}`,
    ...(hasSerial ? ['SupplementaryGroups=dialout'] : []),
    'NoNewPrivileges=yes',
    'PrivateTmp=yes',
    'ProtectSystem=strict',
    `ReadWritePaths=${folders.map(word).join(' ')}`,
    '',
    '[Install]',
    'WantedBy=multi-user.target',
    '',
  ].join('\n')
}

/** A word as systemd.service(5), "Quoting" and "Command lines" want it: in quotes, specifiers and variables taken literally. */
function word(text: string): string {
  if (hasControl(text)) throw new RangeError(`${JSON.stringify(text)} cannot stand in a unit file`)
  return `"${text.replaceAll('\\', '\\\\').replaceAll('"', '\\"').replaceAll('%', '%%').replaceAll('$', '$$$$')}"`
}

const isWithin = (inner: string, outer: string): boolean =>
  inner === outer || inner.startsWith(outer.endsWith(sep) ? outer : outer + sep)

const plain = (text: string): string =>
  [...text]
    .map((c) => (hasControl(c) ? ' ' : c))
    .join('')
    .replaceAll('%', '%%')
const hasControl = (text: string): boolean => [...text].some((c) => (c.codePointAt(0) ?? 0) < 0x20)
