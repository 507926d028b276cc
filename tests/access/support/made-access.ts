import { join } from 'node:path'
import { Access, type AccessOptions } from '../../../gateway/access/access.ts'
import { type HashCost, hashPassword } from '../../../gateway/access/password-hash.ts'
import { keyOf } from '../../../gateway/access/secret.ts'
import { editUsers, type StoredUser, userFileOf } from '../../../gateway/access/user-file.ts'
import type { Role } from '../../../shared/roles.ts'
import type { NewEvent } from '../../../shared/schemas/events.ts'

/** Cheap enough to hash hundreds; what a real one costs is no matter of these tests. */
export const CHEAP: HashCost = { ln: 4, r: 1, p: 1 }
export const LIMITS = { idleMs: 3_600_000, longestMs: 86_400_000 }

/** Options with a clock of the test's own. */
export function accessOptions(given: Partial<AccessOptions> = {}): AccessOptions {
  return {
    files: null,
    thisMachineOnly: true,
    limits: LIMITS,
    nowEpochMs: () => Date.now(),
    nowMs: () => performance.now(),
    event: () => {},
    log: () => {},
    hashCost: CHEAP,
    ...given,
  }
}

export const PASSWORDS: Record<Role, string> = {
  view: 'looks at the web',
  operate: 'listens to the roller',
  engineer: 'weights on a rope',
}
export const NAMES: Record<Role, string> = { view: 'V. Viewer', operate: 'O. Fitter', engineer: 'A. Fitter' }
export const TOKENS: Record<Role, string> = {
  view: `evp_${'v'.repeat(43)}`,
  operate: `evp_${'o'.repeat(43)}`,
  engineer: `evp_${'e'.repeat(43)}`,
}
export const bearer = (role: Role) => ({ authorization: `Bearer ${TOKENS[role]}` })

export async function storedUser(role: Role, name = NAMES[role], password = PASSWORDS[role]): Promise<StoredUser> {
  return {
    name,
    role,
    password: await hashPassword(password, CHEAP),
    token: { sha256: keyOf(TOKENS[role]), createdMs: 1 },
    stamp: `stamp of ${name}`,
    createdMs: 1,
    changedMs: 1,
  }
}

/** One user of each role, each with a password and a token. */
export const oneOfEach = (): Promise<StoredUser[]> =>
  Promise.all((['view', 'operate', 'engineer'] as const).map((role) => storedUser(role)))

/** Puts one user of each role into the folder of a config. */
export async function seedUsers(folder: string): Promise<void> {
  const users = await oneOfEach()
  await editUsers(userFileOf(join(folder, 'line.yaml')), () => users)
}

export interface Watched {
  readonly access: Access
  readonly events: NewEvent[]
  readonly log: string[]
  /** Both clocks. */
  nowMs: number
}

/** An access in memory with these users, a clock that stands still until it is set, and what it told. */
export function madeAccess(users: readonly StoredUser[], given: Partial<AccessOptions> = {}): Watched {
  const events: NewEvent[] = []
  const log: string[] = []
  const watched = { nowMs: 1_760_000_000_000 }
  const access = Access.inMemory(
    accessOptions({
      nowEpochMs: () => watched.nowMs,
      nowMs: () => watched.nowMs,
      event: (event) => events.push(event),
      log: (line) => log.push(line),
      ...given,
    }),
    users,
  )
  return Object.assign(watched, { access, events, log })
}

export const CLIENT = { address: '192.0.2.7', port: 8420, encrypted: false }

export const cookieOf = (setCookie: string) => setCookie.split(';')[0]
export const codeOf = (act: Promise<unknown>) =>
  act.then(
    () => 'done',
    (error: { code?: string }) => error.code,
  )
