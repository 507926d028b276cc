import { stat } from 'node:fs/promises'
import type { Config } from '../../shared/schemas/config.ts'
import { openBindError } from '../access/bind.ts'
import { readUsers, userFileOf } from '../access/user-file.ts'
import { readTls } from '../http/tls.ts'
import { type Finding, look, right, wrong } from './finding.ts'

/** Users, their file, and the certificate. */
export async function lookAtAccess(config: Config, configPath: string, nowMs: number): Promise<Finding[]> {
  return [await lookAtUsers(config, configPath), ...(await lookAtTls(config, configPath, nowMs))]
}

async function lookAtUsers(config: Config, configPath: string): Promise<Finding> {
  const what = 'users'
  const path = userFileOf(configPath)
  try {
    const users = await readUsers(path)
    const open = openBindError(config.gateway.host, users.length > 0, { path: configPath, text: null })
    if (open !== null) return wrong(what, open.message, open.remedy)
    if (users.length === 0) return right(what, 'none: the gateway is open to this machine alone')
    const { mode } = await stat(path)
    if ((mode & 0o077) !== 0) return look(what, `others may read ${path}`, `chmod 600 ${path}`)
    return right(what, `${users.length}; their file is this user's alone`)
  } catch (error) {
    return wrong(what, (error as Error).message, 'Mend the file or bring it back from a copy.')
  }
}

async function lookAtTls({ gateway: { tls } }: Config, configPath: string, nowMs: number): Promise<Finding[]> {
  if (tls === undefined) return []
  const what = 'the certificate'
  try {
    await readTls(tls, configPath, nowMs)
    return [right(what, `${tls.cert} is in force and belongs to its key`)]
  } catch (error) {
    return [wrong(what, (error as Error).message, 'Renew it, or name the right files in gateway.tls.')]
  }
}
