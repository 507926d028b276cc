import { beforeEach, describe, expect, it, vi } from 'vitest'
import { madeAccess, oneOfEach } from './support/made-access.ts'

/** What each log-in had hashed against: the kept text up to its salt. */
const worked = vi.hoisted(() => [] as string[])
vi.mock('../../gateway/access/password-hash.ts', async (original) => {
  const real = await original<typeof import('../../gateway/access/password-hash.ts')>()
  return {
    ...real,
    isPassword: (password: string, kept: string) => {
      worked.push(kept.split('$').slice(0, 3).join('$'))
      return real.isPassword(password, kept)
    },
  }
})
beforeEach(() => {
  worked.length = 0
})

describe('a refused log-in', () => {
  it('costs the same work under a name that somebody has, nobody has, or a machine has', async () => {
    const users = await oneOfEach()
    const { access } = madeAccess(users.map((user) => (user.role === 'operate' ? { ...user, password: null } : user)))
    const client = { address: '192.0.2.7', port: 8420, encrypted: false }
    for (const name of ['V. Viewer', 'Nobody', 'O. Fitter', ''])
      await expect(access.logIn(name, 'wrong', client)).rejects.toMatchObject({ code: 'EVP_LOGIN_REFUSED' })
    expect(worked).toEqual(Array(4).fill('$scrypt$ln=4,r=1,p=1'))
  })
})
