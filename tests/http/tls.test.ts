import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { readTls } from '../../gateway/http/tls.ts'
import { makeCertificate } from '../integration/support/certificate.ts'
import { missing, titled } from '../integration/support/installed.ts'

const noOpenssl = missing('openssl')
const DAY_MS = 86_400_000

describe.skipIf(noOpenssl !== null)(titled('a certificate and its key, made by openssl', noOpenssl), () => {
  let folder: string
  const read = (cert: string, key: string, nowMs = Date.now()) =>
    readTls({ cert, key }, join(folder, 'line.yaml'), nowMs)
  beforeAll(() => {
    folder = mkdtempSync(join(tmpdir(), 'evenpull-tls-'))
    for (const name of ['own', 'other']) makeCertificate(folder, name)
  })
  afterAll(() => rmSync(folder, { recursive: true, force: true }))

  it('are read beside the config', async () => {
    expect((await read('own.pem', 'own.key')).cert.toString()).toContain('BEGIN CERTIFICATE')
  })

  it.each([
    [
      'a certificate that is not there',
      'nowhere.pem',
      'own.key',
      /certificate: .*nowhere\.pem cannot be read \(ENOENT\)/,
    ],
    ['a key that is not there', 'own.pem', 'nowhere.key', /key: .*nowhere\.key cannot be read \(ENOENT\)/],
    ['the key of another one', 'own.pem', 'other.key', /key: other\.key is not the key of own\.pem/],
    ['a key in the place of the certificate', 'own.key', 'own.key', /certificate: own\.key is no PEM certificate/],
    ['a certificate in the place of the key', 'own.pem', 'own.pem', /key: own\.pem is no PEM key/],
  ])('%s is refused with which and why', async (_title, cert, key, words) => {
    await expect(read(cert, key)).rejects.toMatchObject({ code: 'EVP_TLS', message: expect.stringMatching(words) })
  })

  it('whose time is over is refused', async () => {
    const refused = { code: 'EVP_TLS', message: expect.stringContaining('own.pem was valid until') }
    await expect(read('own.pem', 'own.key', Date.now() + 3 * DAY_MS)).rejects.toMatchObject(refused)
  })
})
