import { z } from 'zod'
import { ROLES } from '../roles.ts'
import { who } from './config-write.ts'

/**
 * Log-in, users and roles.
 *
 * Where the gateway has no users it listens to its own machine only and asks nobody who he is (`login: 'off'`). As soon
 * as there is one, every address but the page's files and /api/session needs a session or a token.
 */

/** A colon would end the name in HTTP Basic. */
export const userName = who
  .refine((name) => !name.includes(':'), 'a colon is not part of a name')
  .transform((name) => name.normalize('NFC'))

export const LEAST_PASSWORD = 10
export const MOST_PASSWORD = 200

/** Length counts, not kinds of characters (NIST SP 800-63B, 5.1.1.2, which asks for 8; status M). */
export const newPassword = z
  .string()
  .min(LEAST_PASSWORD, `a password has at least ${LEAST_PASSWORD} characters`)
  .max(MOST_PASSWORD)
  .refine((text) => new Set(text).size > 3, 'a password of a few different characters is guessed at once')

/** GET, POST and DELETE /api/session */
export const sessionView = z.object({
  /** off: nobody has to log in, and only this machine reaches the gateway. */
  login: z.enum(['off', 'on']),
  /** null: nobody is logged in. */
  user: z.object({ name: z.string(), role: z.enum(ROLES) }).nullable(),
  /** The connection this was asked over is under TLS. */
  encrypted: z.boolean(),
  /** The gateway is bound to loopback. */
  thisMachineOnly: z.boolean(),
})

/** POST /api/session */
export const logInRequest = z.strictObject({ name: z.string().max(200), password: z.string().max(MOST_PASSWORD) })

/** PUT /api/session/password: his own, by whoever is logged in. */
export const passwordChange = z.strictObject({ present: z.string().max(MOST_PASSWORD), password: newPassword })

const userView = z.object({
  name: z.string(),
  role: z.enum(ROLES),
  /** false: a machine, which has a token only. */
  hasPassword: z.boolean(),
  /** Epoch ms; null: it has no token. */
  tokenMs: z.number().nullable(),
  createdMs: z.number(),
  changedMs: z.number(),
})
/** GET /api/users; a change of a user answers the same. */
export const userList = z.object({ users: z.array(userView) })

/** POST /api/users */
export const newUser = z.strictObject({ name: userName, role: z.enum(ROLES), password: newPassword })

/** PUT /api/users/{name}: what is given is changed; every session of that user ends. */
export const userChange = z
  .strictObject({ role: z.enum(ROLES).optional(), password: newPassword.optional() })
  .refine(({ role, password }) => role !== undefined || password !== undefined, 'give a role or a password')

export type PasswordChange = z.infer<typeof passwordChange>
export type SessionView = z.infer<typeof sessionView>
export type UserView = z.infer<typeof userView>
export type UserList = z.infer<typeof userList>
export type NewUser = z.infer<typeof newUser>
export type UserChange = z.infer<typeof userChange>
