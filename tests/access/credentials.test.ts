import { describe, expect, it } from 'vitest'
import { sessionCookie, sessionIdIn, tokenIn } from '../../gateway/access/cookie.ts'

const PLAIN = { address: '192.0.2.1', port: 8420, encrypted: false }
const TLS = { ...PLAIN, encrypted: true }
const ID = 'x'.repeat(43)

describe('the cookie of a session', () => {
  it('is out of reach of scripts and of other sites, and of plain HTTP once there is TLS', () => {
    expect(sessionCookie(PLAIN, ID, 3600)).toBe(`evenpull-8420=${ID}; Path=/; Max-Age=3600; HttpOnly; SameSite=Strict`)
    expect(sessionCookie(TLS, ID, 3600)).toBe(
      `__Host-evenpull-8420=${ID}; Path=/; Max-Age=3600; HttpOnly; SameSite=Strict; Secure`,
    )
    expect(sessionCookie(PLAIN, null, 0)).toContain('evenpull-8420=; Path=/; Max-Age=0;')
  })

  it('is read among others, and under the name of this port and this protocol alone', () => {
    expect(sessionIdIn(`a=b; evenpull-8420=${ID}; c=d`, PLAIN)).toBe(ID)
    expect(sessionIdIn(`evenpull-8421=${ID}`, PLAIN)).toBeNull()
    expect(sessionIdIn(`evenpull-8420=${ID}`, TLS)).toBeNull()
  })

  it.each([
    undefined,
    '',
    ';;;',
    '=',
    'evenpull-8420',
    'evenpull-8420=',
    'evenpull-8420=short',
    `evenpull-8420=${ID}x`,
    `evenpull-8420="${ID}"`,
    `evenpull-8420=${ID}; evenpull-8420=${ID}`,
    `EVENPULL-8420=${ID}`,
  ])('is none: %s', (header) => {
    expect(sessionIdIn(header, PLAIN)).toBeNull()
  })
})

describe('a token', () => {
  it('comes as Bearer, or as the password of Basic (RFC 7617: base64 of name:password)', () => {
    expect(tokenIn('Bearer evp_abc')).toEqual({ token: 'evp_abc', name: null })
    expect(tokenIn('bearer evp_abc')).toEqual({ token: 'evp_abc', name: null })
    // The worked example of RFC 7617, section 2 (status M): user-id Aladdin, password "open sesame".
    expect(tokenIn('Basic QWxhZGRpbjpvcGVuIHNlc2FtZQ==')).toEqual({ token: 'open sesame', name: 'Aladdin' })
  })

  it.each([
    undefined,
    '',
    'Bearer',
    'Bearer ',
    'Basic',
    'Basic !!',
    'Basic bm9jb2xvbg==',
    'Digest abc',
    `Bearer ${'x'.repeat(600)}`,
  ])('is none: %s', (header) => {
    expect(tokenIn(header)).toBeNull()
  })
})
