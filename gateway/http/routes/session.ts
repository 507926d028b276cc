import { logInRequest, passwordChange, type SessionView, sessionView } from '../../../shared/schemas/access.ts'
import { STRANGER } from '../../access/caller.ts'
import { defineRoute, noQuery } from '../define-route.ts'
import { WithHeaders } from '../route.ts'

const path = '/api/session'
const common = { path, parameters: [], query: noQuery, queryExample: {}, needs: 'anyone' } as const

const exampleSession: SessionView = {
  login: 'on',
  user: { name: 'A. Fitter', role: 'operate' },
  encrypted: false,
  thisMachineOnly: false,
}

const response = (description: string) =>
  ({ kind: 'json', description, schema: sessionView, example: exampleSession }) as const

export const sessionRoute = defineRoute({
  ...common,
  method: 'GET',
  summary: 'Who is logged in, and whether anybody has to be',
  response: response('`user` is null when nobody is logged in here.'),
  refusals: {},
  perSecond: null,
  handle: ({ caller, client, sources }) => sources.access.view(caller, client),
})

/** Each costs a good part of a second of one core. */
const LOG_INS_PER_SECOND = 4

export const logInRoute = defineRoute({
  ...common,
  method: 'POST',
  summary: 'Log in: a session begins, held by a cookie',
  body: {
    description: 'Name and password of a user. Machines send a token with each request instead.',
    schema: logInRequest,
    maxBytes: 4096,
    example: { name: 'A. Fitter', password: 'weights on a rope' },
  },
  response: response('The session; its cookie is in Set-Cookie.'),
  refusals: {
    401: 'Name or password is wrong; which of them is not said.',
    429: 'After failed log-ins, under this name or from this address, the next try has to wait.',
  },
  perSecond: LOG_INS_PER_SECOND,
  async handle({ body, client, caller: before, sources: { access } }) {
    const { caller, cookie } = await access.logIn(body.name, body.password, client)
    access.logOut(before, client)
    return new WithHeaders(access.view(caller, client), { 'set-cookie': cookie })
  },
})

export const logOutRoute = defineRoute({
  ...common,
  method: 'DELETE',
  summary: 'Log out: the session ends, its sockets close',
  response: response('Nobody is logged in.'),
  refusals: {},
  perSecond: 10,
  handle({ caller, client, sources: { access } }) {
    const cookie = access.logOut(caller, client)
    return new WithHeaders(access.view(caller.kind === 'user' ? STRANGER : caller, client), { 'set-cookie': cookie })
  },
})

export const changePasswordRoute = defineRoute({
  ...common,
  method: 'PUT',
  path: '/api/session/password',
  needs: 'view',
  summary: 'Change your own password; every other session of yours ends, this one goes on',
  body: {
    description: 'The present password and the new one.',
    schema: passwordChange,
    maxBytes: 4096,
    example: { present: 'weights on a rope', password: 'a roll on two cells' },
  },
  response: response('The session, which goes on.'),
  refusals: {
    401: 'Nobody is logged in, or the present password is wrong.',
    422: 'Whoever asks has no password: a token, or a gateway without users.',
    429: 'After failed tries, under this name or from this address, the next has to wait.',
    503: 'The file of users could not be read or written; nothing was changed.',
  },
  perSecond: LOG_INS_PER_SECOND,
  async handle({ body, caller, client, sources: { access } }) {
    await access.changeOwnPassword(caller, body, client)
    return access.view(caller, client)
  },
})
