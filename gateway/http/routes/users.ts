import { newUser, type UserList, userChange, userList } from '../../../shared/schemas/access.ts'
import { defineRoute, noQuery } from '../define-route.ts'

const path = '/api/users'
const pathOfOne = '/api/users/{name}'
const parameters = [{ name: 'name', description: 'Name of the user, as in /api/users', example: 'A. Fitter' }]
const common = { query: noQuery, queryExample: {}, needs: 'engineer', perSecond: 4 } as const
const MAX_BYTES = 4096
const PASSWORD = 'weights on a rope'

const exampleUsers: UserList = {
  users: [
    {
      name: 'A. Fitter',
      role: 'engineer',
      hasPassword: true,
      tokenMs: null,
      createdMs: 1_760_000_000_000,
      changedMs: 1_760_000_000_000,
    },
  ],
}
const response = {
  kind: 'json',
  description: 'Every user, as it now is; no password, no token.',
  schema: userList,
  example: exampleUsers,
} as const
const REFUSALS = {
  422: 'The name is taken, or nobody could change users any more; nothing was changed.',
  429: 'More than 4 requests in a second.',
  503: 'The file of users could not be read or written; nothing was changed.',
}
const OF_ONE = { ...REFUSALS, 404: 'No such user.' }

export const usersRoute = defineRoute({
  ...common,
  method: 'GET',
  path,
  parameters: [],
  summary: 'The users and their roles',
  response,
  refusals: { 429: REFUSALS[429] },
  handle: ({ sources }) => sources.access.users(),
})

export const addUserRoute = defineRoute({
  ...common,
  method: 'POST',
  path,
  parameters: [],
  summary: 'Add a user; with the first one, who has to be an engineer, everybody has to log in',
  body: {
    description: 'Name, role and first password.',
    schema: newUser,
    maxBytes: MAX_BYTES,
    example: { name: 'B. Fitter', role: 'engineer', password: PASSWORD },
  },
  response,
  refusals: REFUSALS,
  handle: ({ body, caller, sources }) => sources.access.addUser(body, caller),
})

export const changeUserRoute = defineRoute({
  ...common,
  method: 'PUT',
  path: pathOfOne,
  parameters,
  summary: 'Change the role or the password of a user; every session of his ends',
  body: {
    description: 'What is to be changed.',
    schema: userChange,
    maxBytes: MAX_BYTES,
    example: { role: 'operate' },
  },
  response,
  refusals: OF_ONE,
  handle: ({ params, body, caller, sources }) => sources.access.changeUser(params.name ?? '', body, caller),
})

export const removeUserRoute = defineRoute({
  ...common,
  method: 'DELETE',
  path: pathOfOne,
  parameters,
  summary: 'Remove a user; every session of his ends',
  response,
  refusals: OF_ONE,
  handle: ({ params, caller, sources }) => sources.access.removeUser(params.name ?? '', caller),
})
