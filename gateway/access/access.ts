import { EvenpullError } from '../../shared/errors.ts'
import { isEnough, type Need } from '../../shared/roles.ts'
import type { NewUser, PasswordChange, SessionView, UserChange, UserList } from '../../shared/schemas/access.ts'
import type { NewEvent } from '../../shared/schemas/events.ts'
import { type Caller, nameOf, OPEN, roleOf, STRANGER } from './caller.ts'
import { type ClientFacts, sessionCookie, sessionIdIn, tokenIn } from './cookie.ts'
import { PasswordDesk } from './password-desk.ts'
import type { HashCost } from './password-hash.ts'
import { RefusalNotes } from './refusal-notes.ts'
import { keyOf, newStamp } from './secret.ts'
import { readSessions, type SeenUser, writeSessions } from './session-file.ts'
import { type Session, type SessionLimits, Sessions } from './sessions.ts'
import { editUsers, isReadByOthers, readUsers, userFileMark } from './user-file.ts'
import { addUser, changeUser, findUser, nameKey, removeUser, type Users, userChanges, viewOf } from './users.ts'

export interface AccessOptions {
  /** Where users and sessions are kept; null: nowhere, for a gateway of a test. */
  readonly files: { readonly users: string; readonly sessions: string } | null
  /** Bound to loopback: without users everybody may do everything. */
  readonly thisMachineOnly: boolean
  readonly limits: SessionLimits
  readonly nowEpochMs: () => number
  /** Monotonic ms, for the delays after failed log-ins. */
  readonly nowMs: () => number
  /** Takes what belongs in the trail. */
  readonly event: (event: NewEvent) => void
  readonly log: (line: string) => void
  readonly hashCost?: HashCost
}

/** The headers that say who sends a request. */
export interface Credentials {
  readonly cookie?: string | undefined
  readonly authorization?: string | undefined
}

/** When a session was last used is written this often: after a crash it may end this much early. */
const SAVE_EVERY_MS = 60_000

/**
 * Who may do what. Without users, and bound to loopback: everybody, everything. With the first user, every request and
 * socket needs a session or a token. A file of users that is gone or broken while the gateway runs changes nothing:
 * the users known last go on being asked.
 */
export class Access {
  readonly #options: AccessOptions
  readonly #passwords: PasswordDesk
  readonly #notes: RefusalNotes
  readonly #listeners = new Set<() => void>()
  #users: Users = []
  #sessions: Sessions
  #fileMark = ''
  #fileComplaint = ''
  #fileTurn: Promise<unknown> = Promise.resolve()
  #savedMs = 0
  #saving: Promise<void> = Promise.resolve()

  private constructor(options: AccessOptions) {
    this.#options = options
    this.#sessions = new Sessions(options.limits)
    this.#notes = new RefusalNotes(options.nowMs)
    this.#passwords = new PasswordDesk(() => this.#users, options.nowMs, options.hashCost)
  }

  /** Throws EVP_USERS_FILE when the users cannot be read: then nobody knows whom to let in. */
  static async open(options: AccessOptions): Promise<Access> {
    const access = new Access(options)
    await access.#open()
    return access
  }

  /** Keeps nothing: for what serves a page in a test. */
  static inMemory(options: Omit<AccessOptions, 'files'>, users: Users = []): Access {
    const access = new Access({ ...options, files: null })
    access.#users = users
    return access
  }

  get hasUsers(): boolean {
    return this.#users.length > 0
  }

  // --- who asks ---

  callerOf(credentials: Credentials, client: ClientFacts): Caller {
    if (!this.hasUsers) return this.#options.thisMachineOnly ? OPEN : STRANGER
    return this.#byToken(credentials.authorization) ?? this.#bySession(credentials.cookie, client) ?? STRANGER
  }

  /** Whether a caller is still who he was: for what lasts longer than a request. Does not keep a session from idling. */
  isCurrent(caller: Caller): boolean {
    if (caller.kind !== 'user') return caller.kind === 'open' && !this.hasUsers && this.#options.thisMachineOnly
    const user = findUser(this.#users, caller.name)
    if (user === undefined || user.role !== caller.role) return false
    if (caller.by === 'token') return user.token?.sha256 === caller.key
    return this.#sessions.peek(caller.key, this.#options.nowEpochMs())?.stamp === user.stamp
  }

  /** Throws EVP_LOGIN_NEEDED or EVP_ROLE when this caller may not do what needs that, and notes it in the trail. */
  require(caller: Caller, need: Need, what: string, client: ClientFacts): void {
    if (isEnough(roleOf(caller), need)) return
    const name = nameOf(caller)
    if (this.#notes.isNew(`${client.address} ${name ?? ''} ${need}`)) {
      const who = name === null ? 'Somebody who had not logged in' : `${name} (${roleOf(caller)})`
      this.#tell(name, `${who} was refused: ${what} needs the role ${need}.`, { refused: what, needs: need, client })
    }
    if (caller.kind === 'user')
      throw new EvenpullError('EVP_ROLE', `this needs the role ${need}, and ${caller.name} has ${caller.role}`)
    throw new EvenpullError('EVP_LOGIN_NEEDED', 'nobody is logged in here, or the session has ended')
  }

  /** Told when somebody may have lost what he had: `isCurrent` says who. Returns the undo. */
  onChange(listener: () => void): () => void {
    this.#listeners.add(listener)
    return () => this.#listeners.delete(listener)
  }

  // --- log-in ---

  view(caller: Caller, { encrypted }: ClientFacts): SessionView {
    const user = caller.kind === 'user' ? { name: caller.name, role: caller.role } : null
    const { thisMachineOnly } = this.#options
    return { login: this.hasUsers || !thisMachineOnly ? 'on' : 'off', user, encrypted, thisMachineOnly }
  }

  /**
   * Begins a session; resolves to who it is and the cookie that holds it. Rejects with EVP_LOGIN_REFUSED, whether the
   * name or the password is wrong; with EVP_TOO_MANY while a name or an address has to wait, or too many wait already.
   */
  async logIn(name: string, password: string, client: ClientFacts): Promise<{ caller: Caller; cookie: string }> {
    const { nowEpochMs, limits } = this.#options
    const user = await this.#passwords.proven({ name, password, client }, (found) => {
      // A name nobody has is not written down: people type passwords into the wrong field.
      const refused =
        found === undefined ? 'A log-in under a name nobody has was refused.' : `A log-in as ${found.name} was refused.`
      this.#tell(null, refused, { user: found?.name ?? null, client })
      return 'name or password is wrong'
    })
    const id = this.#sessions.begin(user, nowEpochMs())
    this.#tell(user.name, `${user.name} logged in.`, { role: user.role, client })
    this.#changed()
    const caller: Caller = { kind: 'user', name: user.name, role: user.role, by: 'session', key: keyOf(id) }
    return { caller, cookie: sessionCookie(client, id, limits.longestMs / 1000) }
  }

  /** Ends the caller's session; returns the cookie that forgets it. */
  logOut(caller: Caller, client: ClientFacts): string {
    if (caller.kind === 'user' && caller.by === 'session' && this.#sessions.end(caller.key)) {
      this.#tell(caller.name, `${caller.name} logged out.`, { client })
      this.#changed()
    }
    return sessionCookie(client, null, 0)
  }

  /**
   * Changes the password of whoever is logged in; every other session of his ends, this one goes on. Rejects with
   * EVP_USER_INVALID for who has no password, with EVP_LOGIN_REFUSED when the present one is wrong: that counts, and has
   * to wait, like a failed log-in, because an open page must not be a place to guess at it.
   */
  async changeOwnPassword(caller: Caller, change: PasswordChange, client: ClientFacts): Promise<void> {
    if (caller.kind !== 'user' || caller.by !== 'session')
      throw new EvenpullError('EVP_USER_INVALID', 'only who has logged in with a password changes it here')
    const shown = { name: caller.name, password: change.present, client }
    const hash = await this.#passwords.provenAndHashed(shown, change.password, () => {
      const text = `A change of the password of ${caller.name} was refused: the present one was wrong.`
      this.#tell(caller.name, text, { client })
      return 'the present password is wrong'
    })
    const stamp = newStamp()
    const changed = { password: hash, stamp, changedMs: this.#options.nowEpochMs() }
    await this.#edit((users) => changeUser(users, caller.name, changed), caller, { key: caller.key, stamp })
  }

  // --- users ---

  users(): UserList {
    return { users: this.#users.map(viewOf) }
  }

  async addUser({ name, role, password }: NewUser, by: Caller): Promise<UserList> {
    const hash = await this.#passwords.hash(password)
    const ms = this.#options.nowEpochMs()
    const user = { name, role, password: hash, token: null, stamp: newStamp(), createdMs: ms, changedMs: ms }
    return this.#edit((users) => addUser(users, user), by)
  }

  async changeUser(name: string, { role, password }: UserChange, by: Caller): Promise<UserList> {
    const hash = password === undefined ? null : await this.#passwords.hash(password)
    const change = {
      ...(role === undefined ? {} : { role }),
      ...(hash === null ? {} : { password: hash }),
      stamp: newStamp(),
      changedMs: this.#options.nowEpochMs(),
    }
    return this.#edit((users) => changeUser(users, name, change), by)
  }

  removeUser(name: string, by: Caller): Promise<UserList> {
    return this.#edit((users) => removeUser(users, name), by)
  }

  // --- time ---

  /** About once a second: what was changed from the command line comes into force, what is over ends. */
  async tick(): Promise<void> {
    const { files, nowMs } = this.#options
    if (files !== null) await this.#inFileTurn(() => this.#lookAgain(files.users))
    this.#sweep()
    if (this.#sessions.all().length > 0 && nowMs() - this.#savedMs >= SAVE_EVERY_MS) await this.save()
  }

  /** Writes what changed since the last time. Never rejects: sessions that cannot be kept end with the process. */
  save(): Promise<void> {
    const { files, log } = this.#options
    this.#savedMs = this.#options.nowMs()
    if (files === null) return Promise.resolve()
    this.#saving = this.#saving.then(() =>
      writeSessions(files.sessions, { sessions: this.#sessions.all(), seen: this.#users.map(seenOf) }).catch((error) =>
        log(`sessions are not kept: ${error instanceof Error ? error.message : String(error)}`),
      ),
    )
    return this.#saving
  }

  // --- inside ---

  async #open(): Promise<void> {
    const { files, limits, log } = this.#options
    if (files === null) return
    this.#fileMark = await userFileMark(files.users)
    this.#users = await readUsers(files.users)
    if (await isReadByOthers(files.users)) log(`${files.users} can be read by others: chmod 600 it`)
    const { sessions, seen } = await readSessions(files.sessions)
    this.#sessions = new Sessions(limits, sessions)
    this.#sweep()
    if (seen !== null) this.#tellMissed(seen)
    if (seen !== null || this.hasUsers) await this.save()
  }

  #byToken(authorization: string | undefined): Caller | null {
    const given = tokenIn(authorization)
    if (given === null) return null
    const key = keyOf(given.token)
    const user = this.#users.find(({ token }) => token?.sha256 === key)
    if (user === undefined || (given.name !== null && nameKey(given.name) !== nameKey(user.name))) return null
    return { kind: 'user', name: user.name, role: user.role, by: 'token', key }
  }

  #bySession(cookie: string | undefined, client: ClientFacts): Caller | null {
    const id = sessionIdIn(cookie, client)
    const session = id === null ? null : this.#sessions.use(id, this.#options.nowEpochMs())
    return session === null ? null : this.#callerOf(session)
  }

  #callerOf({ user: name, stamp, key }: Session): Caller | null {
    const user = findUser(this.#users, name)
    if (user === undefined || user.stamp !== stamp) return null
    return { kind: 'user', name: user.name, role: user.role, by: 'session', key }
  }

  /** `going`: a session that is to outlive the change, under the stamp that its user has afterwards. */
  async #edit(
    edit: (users: Users) => Users,
    by: Caller,
    going?: { readonly key: string; readonly stamp: string },
  ): Promise<UserList> {
    const { files } = this.#options
    const take = (users: Users) => {
      if (going !== undefined) this.#sessions.restamp(going.key, going.stamp)
      this.#take(users, nameOf(by), null)
    }
    if (files === null) take(edit(this.#users))
    else
      await this.#inFileTurn(async () => {
        await this.#lookAgain(files.users)
        const { after } = await editUsers(files.users, edit)
        this.#fileMark = await userFileMark(files.users)
        take(after)
      })
    return this.users()
  }

  async #lookAgain(path: string): Promise<void> {
    const mark = await userFileMark(path)
    if (mark === this.#fileMark) return
    try {
      // A file that is gone is no order to let everybody in.
      if (mark === 'missing' && this.hasUsers) throw new EvenpullError('EVP_USERS_FILE', `${path} is gone`)
      const users = await readUsers(path)
      this.#fileMark = mark
      this.#fileComplaint = ''
      this.#take(users, null, 'from the command line')
    } catch (error) {
      const complaint = error instanceof Error ? error.message : String(error)
      if (complaint === this.#fileComplaint) return
      this.#fileComplaint = complaint
      this.#options.log(`${complaint}; the users known before stay in force`)
      this.#tell(null, 'The file of users cannot be read; the users known before stay in force.', {})
    }
  }

  #take(users: Users, who: string | null, how: string | null): void {
    for (const { user, text } of userChanges(this.#users, users))
      this.#tell(who, how === null ? text : text.replace(/\.$/, ` ${how}.`), { user })
    this.#users = users
    this.#sweep()
    this.#changed()
  }

  #tellMissed(seen: readonly SeenUser[]): void {
    const now = this.#users.map(seenOf)
    const names = new Set([...seen, ...now].map(({ name }) => name))
    for (const name of names) {
      const [then, after] = [seen, now].map((list) => JSON.stringify(list.find((user) => user.name === name)))
      if (then === after) continue
      const what = then === undefined ? 'added' : after === undefined ? 'removed' : 'changed'
      this.#tell(null, `User ${name} was ${what} while the gateway did not run.`, { user: name })
    }
  }

  #sweep(): void {
    const ended = this.#sessions.sweep(this.#options.nowEpochMs(), (session) => this.#callerOf(session) !== null)
    for (const { session, byTime } of ended)
      this.#tell(session.user, `A session of ${session.user} ended${byTime ? ': its time was over' : ''}.`, {})
    if (ended.length > 0) this.#changed()
  }

  #changed(): void {
    void this.save()
    for (const listener of this.#listeners) listener()
  }

  #tell(
    who: string | null,
    text: string,
    { client, ...data }: Record<string, unknown> & { client?: ClientFacts },
  ): void {
    const from = client === undefined ? {} : { address: client.address }
    this.#options.event({
      timeMs: this.#options.nowEpochMs(),
      kind: 'access',
      zone: null,
      who,
      text,
      data: { ...data, ...from },
    })
  }

  /** The file is looked at and changed one after another, so that each change is told with who made it. */
  #inFileTurn<T>(act: () => Promise<T>): Promise<T> {
    const result = this.#fileTurn.then(act, act)
    this.#fileTurn = result.catch(() => {})
    return result
  }
}

const seenOf = ({ name, role, stamp, token }: Users[number]): SeenUser => ({
  name,
  role,
  stamp,
  tokenMs: token?.createdMs ?? null,
})
