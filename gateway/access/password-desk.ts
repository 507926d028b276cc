import { EvenpullError } from '../../shared/errors.ts'
import type { ClientFacts } from './cookie.ts'
import { FailedLogIns } from './failed-log-ins.ts'
import { HASH_COST, type HashCost, hashPassword, isPassword } from './password-hash.ts'
import type { StoredUser } from './user-file.ts'
import { findUser, nameKey, type Users } from './users.ts'

/** Who waits for his turn at most: each costs a core a good part of a second. */
const MOST_WAITING = 16

/** A password that somebody shows as his. */
export interface Shown {
  readonly name: string
  readonly password: string
  readonly client: ClientFacts
}

/**
 * Where passwords are hashed and proven, one at a time, so that memory and cores stay with the measuring; against the
 * users as they are when their turn comes. `nowMs` is a monotonic clock, for the delays after failed tries.
 */
export class PasswordDesk {
  readonly #users: () => Users
  readonly #cost: HashCost
  readonly #nowMs: () => number
  readonly #failed = new FailedLogIns()
  readonly #nobody: Promise<string>
  #waiting = 0
  #turn: Promise<unknown> = Promise.resolve()

  constructor(users: () => Users, nowMs: () => number, cost: HashCost = HASH_COST) {
    this.#users = users
    this.#nowMs = nowMs
    this.#cost = cost
    // A name that nobody has costs as much as one that somebody has.
    this.#nobody = hashPassword('nobody', cost)
  }

  hash(password: string): Promise<string> {
    return this.#inTurn(() => hashPassword(password, this.#cost))
  }

  /** A password for a new one of the same user, both at one turn. Rejects as `proven`. */
  provenAndHashed(shown: Shown, next: string, refused: (user?: StoredUser) => string): Promise<string> {
    return this.#asked(async () => {
      await this.#prove(shown, refused)
      return hashPassword(next, this.#cost)
    })
  }

  /**
   * The user whose password this is. Rejects with EVP_LOGIN_REFUSED, in the words of `refused`, and with EVP_TOO_MANY
   * while this name or address has to wait after failed tries, or too many wait already.
   */
  proven(shown: Shown, refused: (user?: StoredUser) => string): Promise<StoredUser> {
    return this.#asked(() => this.#prove(shown, refused))
  }

  async #prove({ name, password, client }: Shown, refused: (user?: StoredUser) => string): Promise<StoredUser> {
    const key = nameKey(name)
    const waitMs = this.#failed.waitMs(key, client.address, this.#nowMs())
    if (waitMs > 0) throw tooSoon(waitMs)
    const user = findUser(this.#users(), name)
    const isRight = await isPassword(password, user?.password ?? (await this.#nobody))
    if (user === undefined || user.password === null || !isRight) {
      this.#failed.failed(key, client.address, this.#nowMs())
      throw new EvenpullError('EVP_LOGIN_REFUSED', refused(user))
    }
    this.#failed.succeeded(key)
    return user
  }

  /** What anybody may ask for and costs a hash: so many wait at most. */
  async #asked<T>(act: () => Promise<T>): Promise<T> {
    if (this.#waiting >= MOST_WAITING) throw new EvenpullError('EVP_TOO_MANY', `${MOST_WAITING} log-ins wait already`)
    this.#waiting += 1
    try {
      return await this.#inTurn(act)
    } finally {
      this.#waiting -= 1
    }
  }

  #inTurn<T>(act: () => Promise<T>): Promise<T> {
    const result = this.#turn.then(act, act)
    this.#turn = result.catch(() => {})
    return result
  }
}

function tooSoon(waitMs: number): EvenpullError {
  const seconds = Math.ceil(waitMs / 1000)
  return new EvenpullError('EVP_TOO_MANY', `too many failed log-ins: the next try in ${seconds} s`)
}
