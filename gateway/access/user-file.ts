import { mkdir, readFile, stat } from 'node:fs/promises'
import { dirname, join } from 'node:path'
import { z } from 'zod'
import { EvenpullError } from '../../shared/errors.ts'
import { ROLES } from '../../shared/roles.ts'
import { putWhole } from '../config/edit/atomic-write.ts'
import { withFileLock } from './file-lock.ts'

export const MOST_USERS = 500
/** Whoever may read the file may try passwords against it for as long as he likes. */
const MODE = 0o600

const storedUser = z.object({
  name: z.string().min(1).max(60),
  role: z.enum(ROLES),
  /** PHC string of scrypt; null: a machine, which has a token only. */
  password: z.string().nullable(),
  token: z.object({ sha256: z.string().regex(/^[0-9a-f]{64}$/), createdMs: z.number() }).nullable(),
  /** New with every change of role or password: a session made under another one has ended. */
  stamp: z.string().min(1),
  createdMs: z.number(),
  changedMs: z.number(),
})
const fileSchema = z.object({ version: z.literal(1), users: z.array(storedUser).max(MOST_USERS) })

/** A user as kept: neither the password nor the token can be got back from it. */
export type StoredUser = Readonly<z.output<typeof storedUser>>

/** Users belong to the folder of a config: gateways of one folder share them. */
export const userFileOf = (configPath: string): string => join(dirname(configPath), '.evenpull', 'users.json')

/**
 * The users of a file; none when there is no file. Throws EVP_USERS_FILE when there is one that cannot be read or
 * understood: a broken file must never open the gateway.
 */
export async function readUsers(path: string): Promise<readonly StoredUser[]> {
  let text: string
  try {
    text = await readFile(path, 'utf8')
  } catch (cause) {
    if ((cause as NodeJS.ErrnoException).code === 'ENOENT') return []
    throw wrongFile(path, `it cannot be read (${(cause as NodeJS.ErrnoException).code ?? String(cause)})`, cause)
  }
  let json: unknown
  try {
    json = JSON.parse(text)
  } catch (cause) {
    throw wrongFile(path, 'it is not JSON', cause)
  }
  const parsed = fileSchema.safeParse(json)
  if (parsed.success) return parsed.data.users
  const [issue] = parsed.error.issues
  throw wrongFile(path, `${issue?.path.join('.') || 'the file'}: ${issue?.message ?? 'not understood'}`, parsed.error)
}

/**
 * Changes the users of a file and returns what it held and holds. One after another, whatever process asks; whole or
 * not at all. Throws what `edit` throws, EVP_USERS_FILE, and EVP_CONFIG_WRITE when it cannot be written.
 */
export async function editUsers(
  path: string,
  edit: (users: readonly StoredUser[]) => readonly StoredUser[],
): Promise<{ before: readonly StoredUser[]; after: readonly StoredUser[] }> {
  try {
    await mkdir(dirname(path), { recursive: true, mode: 0o700 })
  } catch (cause) {
    throw cannotWrite(path, cause)
  }
  return withFileLock(`${path}.lock`, async () => {
    const before = await readUsers(path)
    const after = edit(before)
    await putWhole(path, `${JSON.stringify({ version: 1, users: after }, null, 2)}\n`, MODE)
    return { before, after }
  }).catch((error: unknown) => {
    throw error instanceof EvenpullError ? error : cannotWrite(path, error)
  })
}

/** Changes with every change of the file. */
export async function userFileMark(path: string): Promise<string> {
  try {
    const { ino, size, mtimeMs, ctimeMs } = await stat(path)
    return [ino, size, mtimeMs, ctimeMs].join(' ')
  } catch {
    return 'missing'
  }
}

/** Whether others than the owner may read or write the file. */
export async function isReadByOthers(path: string): Promise<boolean> {
  return stat(path).then(
    ({ mode }) => (mode & 0o077) !== 0,
    () => false,
  )
}

const wrongFile = (path: string, why: string, cause: unknown) =>
  new EvenpullError('EVP_USERS_FILE', `${path}: ${why}`, { cause })

const cannotWrite = (path: string, cause: unknown) =>
  new EvenpullError(
    'EVP_CONFIG_WRITE',
    `${path} cannot be written: ${cause instanceof Error ? cause.message : cause}`,
    {
      cause,
    },
  )
