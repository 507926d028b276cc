import { describe, expect, it } from 'vitest'
import { HASH_COST, hashPassword, isPassword } from '../../gateway/access/password-hash.ts'
import { CHEAP } from './support/made-access.ts'

describe('a password as it is kept', () => {
  it('fits itself and nothing near it, and is another text each time', async () => {
    const [one, two] = await Promise.all([
      hashPassword('weights on a rope', CHEAP),
      hashPassword('weights on a rope', CHEAP),
    ])
    expect(one).not.toBe(two)
    expect(await isPassword('weights on a rope', one)).toBe(true)
    for (const near of ['weights on a rop', 'weights on a rope ', 'Weights on a rope', ''])
      expect(await isPassword(near, one), near).toBe(false)
  })

  it('carries the cost it was made with, and names OWASP’s of 32 MiB by default', async () => {
    expect(await hashPassword('weights on a rope', CHEAP)).toMatch(/^\$scrypt\$ln=4,r=1,p=1\$[\w+/]{22}\$[\w+/]{43}$/)
    expect((128 * HASH_COST.r * 2 ** HASH_COST.ln) / 2 ** 20).toBe(32)
    expect(await hashPassword('weights on a rope')).toMatch(/^\$scrypt\$ln=15,r=8,p=3\$/)
  })

  it('typed on a keyboard that composes accents otherwise is the same', async () => {
    const kept = await hashPassword('Caf\u00e9 am Zug', CHEAP)
    expect(await isPassword('Cafe\u0301 am Zug', kept)).toBe(true)
  })

  it.each([
    '',
    'weights on a rope',
    '$scrypt$ln=4,r=1,p=1$AAAA$AAAA',
    `$scrypt$ln=30,r=8,p=1$${'A'.repeat(22)}$${'A'.repeat(43)}`,
    `$scrypt$ln=0,r=0,p=0$${'A'.repeat(22)}$${'A'.repeat(43)}`,
    `$argon2id$ln=4,r=1,p=1$${'A'.repeat(22)}$${'A'.repeat(43)}`,
  ])('fits no password when it is none of ours or asks for absurdly much: %s', async (kept) => {
    expect(await isPassword('weights on a rope', kept)).toBe(false)
    expect(await isPassword('', kept)).toBe(false)
  })
})
