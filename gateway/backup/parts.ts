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
  const beside = (kind: Part['kind'], file: string): Part => ({
    kind,
    from: join(dirname(configPath), '.evenpull', file),
    path: `.evenpull/${file}`,
  })
  const parts: Part[] = [
    { kind: 'config', from: configPath, path: name },
    { kind: 'revisions', from: `${configPath}.revisions.jsonl`, path: `${name}.revisions.jsonl` },
    ...filesIn(texts).map(
      (one): Part => ({ kind: 'revisions', from: join(texts, one), path: `${name}.revisions/${one}` }),
    ),
    { kind: 'users', from: userFileOf(configPath), path: '.evenpull/users.json' },
    beside('alarms', `${name}.alarms.json`),
    // What trainees have done, the exercise that is open, and the debriefs.
    beside('training', `${name}.training.json`),
    beside('training', `${name}.training-open.jsonl`),
    ...filesIn(join(dirname(configPath), '.evenpull', `${name}.training`)).map((one) =>
      beside('training', `${name}.training/${one}`),
    ),
    { kind: 'store', from: settingsOf(config, configPath).path, path: `store/${name}.sqlite` },
  ]
  return parts.filter(({ from }) => existsSync(from))
}

/** Names of the files of a folder, none where it is not there; hidden ones are half written. */
const filesIn = (folder: string): string[] =>
  existsSync(folder) ? readdirSync(folder).filter((one) => !one.startsWith('.')) : []

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
