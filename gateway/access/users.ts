import { EvenpullError } from '../../shared/errors.ts'
import type { UserView } from '../../shared/schemas/access.ts'
import { MOST_USERS, type StoredUser } from './user-file.ts'

/** Users as a list, and what may be done to it. Every change returns a new list or throws EVP_USER_INVALID. */
export type Users = readonly StoredUser[]

/** Names that differ in capitals or in how an accent is composed are one name. */
export const nameKey = (name: string): string => name.trim().normalize('NFKC').toLowerCase()

export const findUser = (users: Users, name: string): StoredUser | undefined =>
  users.find((user) => nameKey(user.name) === nameKey(name))

export function addUser(users: Users, user: StoredUser): Users {
  if (findUser(users, user.name) !== undefined) throw invalid(`there is a user ${quoted(user.name)} already`)
  if (users.length >= MOST_USERS) throw invalid(`there are ${MOST_USERS} users, the limit`)
  return withEngineer([...users, user])
}

export function removeUser(users: Users, name: string): Users {
  const { name: kept } = known(users, name)
  return withEngineer(users.filter((user) => user.name !== kept))
}

/** A change of a user: what is given is changed, and `stamp` with it, which ends his sessions. */
export function changeUser(users: Users, name: string, change: Partial<Omit<StoredUser, 'name' | 'createdMs'>>): Users {
  const { name: kept } = known(users, name)
  return withEngineer(users.map((user) => (user.name === kept ? { ...user, ...change } : user)))
}

export const viewOf = ({ name, role, password, token, createdMs, changedMs }: StoredUser): UserView => ({
  name,
  role,
  hasPassword: password !== null,
  tokenMs: token?.createdMs ?? null,
  createdMs,
  changedMs,
})

/** What became of whom between two lists, a sentence each, as the trail has it. */
export function userChanges(before: Users, after: Users): { readonly user: string; readonly text: string }[] {
  const changes: { user: string; text: string }[] = []
  const say = (user: string, text: string) => changes.push({ user, text })
  for (const { name } of before) if (findUser(after, name) === undefined) say(name, `User ${name} was removed.`)
  for (const user of after) {
    const { name, role } = user
    const old = findUser(before, name)
    if (old === undefined) say(name, `User ${name} was added with the role ${role}.`)
    else {
      if (old.role !== role) say(name, `The role of ${name} was changed from ${old.role} to ${role}.`)
      if (old.password !== user.password) say(name, `The password of ${name} was changed.`)
      if (old.token?.sha256 !== user.token?.sha256)
        say(name, `The token of ${name} was ${user.token === null ? 'removed' : 'made'}.`)
    }
  }
  return changes
}

/** Somebody must be able to log in and change users: else nobody ever can again. */
function withEngineer(users: Users): Users {
  if (users.some(({ role, password }) => role === 'engineer' && password !== null)) return users
  throw invalid(
    users.length <= 1
      ? 'the first user has to be an engineer with a password: role engineer'
      : 'this is the last engineer with a password: make another user engineer first',
  )
}

function known(users: Users, name: string): StoredUser {
  const user = findUser(users, name)
  if (user === undefined) throw new EvenpullError('EVP_NOT_FOUND', `no user ${quoted(name)}`, { remedy: WHO_THERE_IS })
  return user
}

const WHO_THERE_IS = 'evenpull users list CONFIG, or the page Set-up, says who there is.'
const quoted = (name: string) => JSON.stringify(name.slice(0, 60))
const invalid = (message: string) => new EvenpullError('EVP_USER_INVALID', message)
