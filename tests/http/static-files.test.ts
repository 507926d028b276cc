import { mkdirSync, mkdtempSync, rmSync, symlinkSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { StaticFiles } from '../../gateway/http/static-files.ts'
import { ask, type Served, serve } from './support/served.ts'

const folder = mkdtempSync(join(tmpdir(), 'evenpull-static-'))
const root = join(folder, 'out')
let served: Served

beforeAll(async () => {
  mkdirSync(join(root, '_next', 'static', 'chunks'), { recursive: true })
  mkdirSync(join(root, 'live'))
  writeFileSync(join(folder, 'secret.txt'), 'hidden words')
  writeFileSync(join(root, 'index.html'), '<script>first()</script>home')
  writeFileSync(join(root, 'live.html'), 'live page')
  writeFileSync(join(root, 'live', 'index.html'), 'folder page')
  writeFileSync(join(root, 'live', 'part.txt'), 'part')
  writeFileSync(join(root, '404.html'), 'no such page')
  writeFileSync(join(root, '_next', 'static', 'chunks', 'a b.js'), 'x()')
  symlinkSync(join(folder, 'secret.txt'), join(root, 'link.txt'))
  served = await serve({ staticRoot: root })
})
afterAll(async () => {
  await served.close()
  rmSync(folder, { recursive: true, force: true })
})

describe('the built dashboard', () => {
  it.each([
    ['/', 'first()'],
    ['/live', 'live page'],
    ['/live/', 'live page'],
    ['/live?zone=unwind', 'live page'],
    ['/live/part.txt', 'part'],
    ['/%6Cive', 'live page'],
  ])('%s gives the right file', async (path, content) => {
    const reply = await ask(served.port, path)
    expect(reply.status).toBe(200)
    expect(reply.text).toContain(content)
  })

  it('sends files whose name changes with their content for good, and pages to be asked again', async () => {
    const script = await ask(served.port, '/_next/static/chunks/a%20b.js')
    expect(script.headers).toMatchObject({
      'cache-control': 'public, max-age=31536000, immutable',
      'content-type': 'text/javascript; charset=utf-8',
      'x-content-type-options': 'nosniff',
    })
    const page = await ask(served.port, '/')
    expect(page.headers).toMatchObject({ 'cache-control': 'no-cache', 'content-type': 'text/html; charset=utf-8' })
    expect(page.headers['content-security-policy']).toMatch(/script-src 'self' 'sha256-/)
  })

  it('answers 304 without a body to a browser that holds the very version', async () => {
    const { headers } = await ask(served.port, '/live')
    const etag = String(headers.etag)
    for (const held of [etag, `W/${etag}`, `"other", ${etag}`, '*']) {
      const reply = await ask(served.port, '/live', { headers: { 'if-none-match': held } })
      expect([reply.status, reply.text]).toEqual([304, ''])
    }
    expect((await ask(served.port, '/live', { headers: { 'if-none-match': '"other"' } })).status).toBe(200)
  })

  it('HEAD has the headers of GET and no body', async () => {
    const get = await ask(served.port, '/live')
    const head = await ask(served.port, '/live', { method: 'HEAD' })
    expect([head.status, head.text]).toEqual([200, ''])
    expect(head.headers['content-length']).toBe(get.headers['content-length'])
  })

  it.each([
    '/../secret.txt',
    '/..%2fsecret.txt',
    '/%2e%2e/secret.txt',
    '/live/../../secret.txt',
    '/live/..%5c..%5csecret.txt',
    '//secret.txt',
    '/link.txt',
    '/live.html%00',
    '/%',
    '/%ff',
    '/__proto__',
  ])('no path leads out of the folder: %s', async (path) => {
    const reply = await ask(served.port, path)
    expect(reply.status).toBe(404)
    expect(reply.text).not.toContain('hidden words')
    expect(JSON.parse(reply.text)).toMatchObject({ code: 'EVP_NOT_FOUND' })
  })

  it('shows a person the page for a missing page, with status 404', async () => {
    const reply = await ask(served.port, '/nothing', { headers: { accept: 'text/html' } })
    expect([reply.status, reply.text]).toEqual([404, 'no such page'])
  })

  it('is read again when it was built anew', async () => {
    const own = mkdtempSync(join(tmpdir(), 'evenpull-static-'))
    const files = new StaticFiles(join(own, 'out'))
    await expect(files.find('/')).rejects.toMatchObject({ code: 'EVP_NOT_FOUND' })
    for (const text of ['first', 'second']) {
      rmSync(join(own, 'out'), { recursive: true, force: true })
      mkdirSync(join(own, 'out'))
      writeFileSync(join(own, 'out', 'index.html'), text)
      expect((await files.find('/'))?.bytes.toString()).toBe(text)
    }
    rmSync(own, { recursive: true })
  })

  it('not built yet, says how to build it: in words to a person, in the usual form to a program', async () => {
    const bare = await serve()
    const page = await ask(bare.port, '/', { headers: { accept: 'text/html' } })
    const body = await ask(bare.port, '/')
    await bare.close()
    expect([page.status, page.headers['content-type']]).toEqual([404, 'text/html; charset=utf-8'])
    expect(page.text).toContain('npm run build')
    expect(JSON.parse(body.text).remedy).toContain('npm run build')
  })
})
