import { describe, expect, it } from 'vitest'
import { scryptKey } from '../../gateway/access/password-hash.ts'

/** RFC 7914, section 12: test vectors of scrypt. Status M. */
const VECTORS = [
  {
    password: '',
    salt: '',
    cost: { ln: 4, r: 1, p: 1 },
    key: '77d6576238657b203b19ca42c18a0497f16b4844e3074ae8dfdffa3fede21442fcd0069ded0948f8326a753a0fc81f17e8d3e0fb2e0d3628cf35e20c38d18906',
  },
  {
    password: 'password',
    salt: 'NaCl',
    cost: { ln: 10, r: 8, p: 16 },
    key: 'fdbabe1c9d3472007856e7190d01e9fe7c6ad7cbc8237830e77376634b3731622eaf30d92e22a3886ff109279d9830dac727afb94a83ee6d8360cbdfa2cc0640',
  },
  {
    password: 'pleaseletmein',
    salt: 'SodiumChloride',
    cost: { ln: 14, r: 8, p: 1 },
    key: '7023bdcb3afd7348461c06cd81fd38ebfda8fbba904f8e3ea9b543f6545da1f2d5432955613f0fcf62d49705242a9af9e61e85dc0d651e40dfcf017b45575887',
  },
] as const

describe('scrypt', () => {
  it.each(VECTORS)('of $password and $salt is what RFC 7914 prints', async ({ password, salt, cost, key }) => {
    const derived = await scryptKey(password, Buffer.from(salt), cost, key.length / 2)
    expect(derived.toString('hex')).toBe(key)
  })
})
