import { readFile } from 'node:fs/promises'
import { EvenpullError } from '../../shared/errors.ts'
import type { MqttSettings } from './settings.ts'

/** What a connection needs and no config holds; read anew each time, so that a changed file is taken up. */
export async function readSecrets({ passwordFile, caFile }: MqttSettings): Promise<{
  readonly password: string | null
  readonly ca: Buffer | null
}> {
  return {
    password: passwordFile === null ? null : passwordIn(await read(passwordFile, 'password'), passwordFile),
    ca: caFile === null ? null : await read(caFile, 'CA'),
  }
}

/** One line break at the end belongs to the editor, not to the password. */
function passwordIn(bytes: Buffer, path: string): string {
  const password = bytes.toString('utf8').replace(/\r?\n$/, '')
  if (password === '') throw new EvenpullError('EVP_FORWARD_FILE', `the password file ${path} is empty`)
  return password
}

async function read(path: string, what: string): Promise<Buffer> {
  try {
    return await readFile(path)
  } catch (cause) {
    const reason = (cause as NodeJS.ErrnoException).code ?? 'unknown'
    throw new EvenpullError('EVP_FORWARD_FILE', `the ${what} file ${path} cannot be read: ${reason}`, { cause })
  }
}
