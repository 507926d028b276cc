import { EvenpullError } from '../../../shared/errors.ts'
import { ROLES } from '../../../shared/roles.ts'
import { newPassword, userName } from '../../../shared/schemas/access.ts'
import { hashPassword } from '../../access/password-hash.ts'
import { keyOf, newStamp, newToken } from '../../access/secret.ts'
import { editUsers, readUsers, type StoredUser, userFileOf } from '../../access/user-file.ts'
import { addUser, changeUser, findUser, removeUser, type Users, viewOf } from '../../access/users.ts'
import { readConfigText } from '../../config/load.ts'
import { didYouMean } from '../../config/nearest.ts'
import type { Command, CommandCall } from '../command.ts'
import { choiceFlag, usage } from '../options.ts'
import { columns } from '../table.ts'

/** `evenpull users ACTION CONFIG [NAME]`: who may log in to the gateway of a config, and what he may do. */
export const users: Command = {
  name: 'users',
  summary: 'Add, change or remove users of a gateway, or make a token for a machine',
  operand: { name: 'ACTION', help: 'list, add, password, role, remove or token' },
  more: [
    { name: 'CONFIG', help: 'the YAML file of the gateway; users are kept in .evenpull/users.json beside it' },
    { name: '[NAME]', help: 'whom it is about, for all but list', optional: true },
  ],
  flags: {
    role: { type: 'string', value: 'ROLE', help: 'view, operate or engineer; for add and role' },
    machine: { type: 'boolean', help: 'add without a password, and print a token instead' },
    stdin: { type: 'boolean', help: 'take the password from standard input instead of asking at the terminal' },
    remove: { type: 'boolean', help: 'take the token away; for token' },
  },
  notes: [
    'view looks; operate also acknowledges, notes and takes zeros; engineer also changes config, calibration and users.',
    'The first user has to be an engineer; with it, everybody has to log in. A gateway that runs takes changes over',
    'within two seconds. A password or role that changes ends the sessions of that user.',
    'To go back to no log-in: stop the gateway, remove the file, and bind to loopback.',
  ],
  async run(call) {
    const [configPath = '', name] = call.more
    const act = Object.hasOwn(ACTIONS, call.operand) ? ACTIONS[call.operand as keyof typeof ACTIONS] : undefined
    if (act === undefined) throw noAction(call.operand)
    await readConfigText(configPath) // a mistyped path must not make a folder of users somewhere
    const file = userFileOf(configPath)
    if (act === list) {
      if (name !== undefined) throw usage('evenpull users list takes no NAME')
      await list(call, file, '')
      return 0
    }
    if (name === undefined) throw usage(`evenpull users ${call.operand} needs NAME: whom it is about`)
    await act(call, file, name)
    return 0
  },
}

type Action = (call: CommandCall, file: string, name: string) => Promise<void>

const list: Action = async (call, file) => {
  const views = (await readUsers(file)).map(viewOf)
  if (call.json) {
    call.out(JSON.stringify({ ok: true, file, users: views }))
    return
  }
  if (views.length === 0) call.out('There are no users: nobody has to log in, and only this machine is served.')
  const rows = views.map(({ name, role, hasPassword, tokenMs }) => [
    name,
    role,
    hasPassword ? 'password' : 'no password',
    tokenMs === null ? '' : `token of ${new Date(tokenMs).toISOString().slice(0, 10)}`,
  ])
  for (const line of columns(rows)) call.out(line)
}

const add: Action = async (call, file, typed) => {
  const role = choiceFlag(call.flags, 'role', ROLES)
  if (role === undefined) throw usage(`evenpull users add needs --role: one of ${ROLES.join(', ')}`)
  const isMachine = call.flags.machine === true
  if (isMachine && call.flags.stdin === true) throw usage('a --machine has no password: leave --stdin out')
  const name = checkedName(typed)
  // Before anybody types a password for nothing.
  const stub = { name, role, password: isMachine ? null : '', token: null, ...stamped() }
  addUser(await readUsers(file), { ...stub, createdMs: stub.changedMs })
  const password = isMachine ? null : await askPassword(call)
  const token = isMachine ? newToken() : null
  const user: StoredUser = {
    ...stub,
    createdMs: stub.changedMs,
    password: password === null ? null : await hashPassword(password),
    token: token === null ? null : tokenOf(token),
  }
  await edit(call, file, (known) => addUser(known, user), `User ${name} was added with the role ${role}.`, token)
}

const password: Action = async (call, file, name) => {
  changeUser(await readUsers(file), name, {})
  const hash = await hashPassword(await askPassword(call))
  await edit(
    call,
    file,
    (known) => changeUser(known, name, { password: hash, ...stamped() }),
    `The password was changed.`,
  )
}

const role: Action = async (call, file, name) => {
  const next = choiceFlag(call.flags, 'role', ROLES)
  if (next === undefined) throw usage(`evenpull users role needs --role: one of ${ROLES.join(', ')}`)
  await edit(call, file, (known) => changeUser(known, name, { role: next, ...stamped() }), `The role is ${next} now.`)
}

const remove: Action = (call, file, name) =>
  edit(call, file, (known) => removeUser(known, name), 'The user was removed.')

const token: Action = async (call, file, name) => {
  const made = call.flags.remove === true ? null : newToken()
  const change = { token: made === null ? null : tokenOf(made), changedMs: Date.now() }
  const said = made === null ? 'The token was taken away.' : 'A token was made; one made before no longer counts.'
  await edit(call, file, (known) => changeUser(known, name, change), said, made)
}

const ACTIONS = { list, add, password, role, remove, token } satisfies Record<string, Action>

async function edit(
  call: CommandCall,
  file: string,
  change: (known: Users) => Users,
  said: string,
  token: string | null = null,
): Promise<void> {
  const { after } = await editUsers(file, change)
  if (call.json) {
    const name = call.more[1] ?? ''
    const user = findUser(after, name)
    const told = { ok: true, file, user: user === undefined ? null : viewOf(user) }
    call.out(JSON.stringify(token === null ? told : { ...told, token }))
    return
  }
  call.out(said)
  if (token === null) return
  call.out(token)
  call.err('Keep it now: only its hash is stored. Send it as `Authorization: Bearer TOKEN`.')
}

/** Typed twice at a terminal, once on standard input. Throws EVP_USAGE when it is no good password. */
async function askPassword({ flags, secrets, more }: CommandCall): Promise<string> {
  const given = flags.stdin === true ? await secrets.fromStdin() : await secrets.ask(`New password of ${more[1]}: `)
  const parsed = newPassword.safeParse(given)
  if (!parsed.success) throw usage(parsed.error.issues[0]?.message ?? 'this is no good password')
  if (flags.stdin !== true && (await secrets.ask('The same again: ')) !== given)
    throw usage('the two were not the same; nothing was changed')
  return parsed.data
}

function checkedName(typed: string): string {
  const parsed = userName.safeParse(typed)
  if (parsed.success) return parsed.data
  throw new EvenpullError('EVP_USER_INVALID', `name: ${parsed.error.issues[0]?.message ?? 'not a name'}`)
}

const stamped = () => ({ stamp: newStamp(), changedMs: Date.now() })
const tokenOf = (made: string) => ({ sha256: keyOf(made), createdMs: Date.now() })

function noAction(typed: string): EvenpullError {
  const names = Object.keys(ACTIONS)
  return usage(`evenpull users cannot ${typed}${didYouMean(typed, names) || `; it can ${names.join(', ')}`}`)
}
