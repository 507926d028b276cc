import { createHash, randomBytes } from 'node:crypto'

/** 256 random bits: nobody guesses them, so that a fast hash keeps them (unlike a password). */
const SECRET_BYTES = 32
/** Marks a token as ours, for whoever finds one in a log. */
const TOKEN_MARK = 'evp_'

/** A new session id: what the cookie holds. */
export const newSessionId = (): string => randomBytes(SECRET_BYTES).toString('base64url')

/** A new token for a machine. */
export const newToken = (): string => TOKEN_MARK + randomBytes(SECRET_BYTES).toString('base64url')

/** Changes whenever what a user may do, or how he proves who he is, changes. */
export const newStamp = (): string => randomBytes(9).toString('base64url')

/** What is kept of a secret: SHA-256, hex. Looking it up in a map tells a stranger nothing of the secret. */
export const keyOf = (secret: string): string => createHash('sha256').update(secret).digest('hex')
