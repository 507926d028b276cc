import { existsSync, readdirSync } from 'node:fs'
import { basename, dirname, join, resolve } from 'node:path'
import type { Config } from '../../shared/schemas/config.ts'
import { userFileOf } from '../access/user-file.ts'
import { settingsOf } from '../recorder/settings.ts'
import type { BackedUp } from './manifest.ts'

/** A file of a gateway, and where it stands within a backup. */
export interface Part {
  readonly kind: BackedUp['kind']
  readonly from: string
  /** Within the backup folder. */
  readonly path: string
}

/** The files of the gateway of a config that are there. Sessions are not kept: whoever is let in after a restore logs in anew. */
export function partsOf(config: Config, configPath: string): Part[] {
  const name = basename(configPath)
  const texts = `${configPath}.revisions`
  const names = existsSync(texts) ? readdirSync(texts).filter((one) => !one.startsWith('.')) : []
  const parts: Part[] = [
    { kind: 'config', from: configPath, path: name },
    { kind: 'revisions', from: `${configPath}.revisions.jsonl`, path: `${name}.revisions.jsonl` },
    ...names.map((one): Part => ({ kind: 'revisions', from: join(texts, one), path: `${name}.revisions/${one}` })),
    { kind: 'users', from: userFileOf(configPath), path: '.evenpull/users.json' },
    {
      kind: 'alarms',
      from: join(dirname(configPath), '.evenpull', `${name}.alarms.json`),
      path: `.evenpull/${name}.alarms.json`,
    },
    { kind: 'store', from: settingsOf(config, configPath).path, path: `store/${name}.sqlite` },
  ]
  return parts.filter(({ from }) => existsSync(from))
}

/** What the config names beside itself; a backup leaves it alone. */
export function namedFiles({ gateway, forward, devices }: Config, configPath: string): string[] {
  const named = [
    gateway.tls?.cert,
    gateway.tls?.key,
    forward.mqtt?.password_file,
    forward.mqtt?.tls?.ca,
    ...devices.map((device) => (device.transport === 'replay' ? device.file : undefined)),
  ]
  return named.filter((one) => one !== undefined).map((one) => resolve(dirname(configPath), one))
}
