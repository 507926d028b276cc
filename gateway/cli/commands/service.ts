import { userInfo } from 'node:os'
import { dirname, resolve } from 'node:path'
import { fileURLToPath } from 'node:url'
import { loadConfig } from '../../config/load.ts'
import { unitOf } from '../../deploy/unit.ts'
import { settingsOf } from '../../recorder/settings.ts'
import type { Command } from '../command.ts'
import { textFlag, usage } from '../options.ts'

const PROGRAM = fileURLToPath(new URL('../evenpull.mjs', import.meta.url))
/** What useradd(8) takes on every system. */
const USER = /^[a-z_][a-z0-9_-]{0,31}$/

/** `evenpull service CONFIG`: a unit file for systemd, on standard output. */
export const service: Command = {
  name: 'service',
  summary: 'Print a systemd unit that runs the gateway of a config with the machine',
  operand: { name: 'CONFIG', help: 'the YAML file of the gateway' },
  flags: { user: { type: 'string', value: 'NAME', help: 'the user it runs as (the one who asks)' } },
  notes: ['It prints only: put it where systemd looks, see Help, "Run as a service".'],
  async run({ operand, flags, json, out }) {
    const { config } = await loadConfig(operand)
    const user = textFlag(flags, 'user') ?? userInfo().username
    if (!USER.test(user)) throw usage(`--user ${JSON.stringify(user)} is no name of a user`)
    const configPath = resolve(operand)
    const facts = {
      node: process.execPath,
      program: PROGRAM,
      configPath,
      user,
      storeFolder: dirname(settingsOf(config, configPath).path),
    }
    const unit = unitOf(config, facts)
    out(json ? JSON.stringify({ ok: true, unit }) : unit.trimEnd())
    return 0
  },
}
