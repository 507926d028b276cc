import type { Role } from '../../shared/roles.ts'

/** Who sends a request or holds a socket. */
export type Caller =
  /** There are no users, and only this machine reaches the gateway: everybody may do everything. */
  | { readonly kind: 'open' }
  /** Log-in is needed and has not been shown. */
  | { readonly kind: 'stranger' }
  | {
      readonly kind: 'user'
      readonly name: string
      readonly role: Role
      readonly by: 'session' | 'token'
      /** Of the session or token; never the secret itself. */
      readonly key: string
    }

export const OPEN: Caller = { kind: 'open' }
export const STRANGER: Caller = { kind: 'stranger' }

/** What a caller may do; null: nothing yet. */
export function roleOf(caller: Caller): Role | null {
  if (caller.kind === 'open') return 'engineer'
  return caller.kind === 'user' ? caller.role : null
}

/** Name of a logged-in user; null where nobody has to say who he is, or nobody did. */
export const nameOf = (caller: Caller): string | null => (caller.kind === 'user' ? caller.name : null)
