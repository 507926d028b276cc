import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { createServer, type Server } from 'node:http'
import type { AddressInfo } from 'node:net'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import { parseConfig } from '../../gateway/config/load.ts'
import { TrainingLink } from '../../gateway/training/training-link.ts'
import { TWO_SIDES } from '../config/support.ts'

let folder: string
let desk: Server
let answer: { status: number; body: string }
let headers: Record<string, unknown>
beforeEach(async () => {
  folder = mkdtempSync(join(tmpdir(), 'evenpull-link-'))
  writeFileSync(join(folder, 'secret'), 'open sesame\n')
  answer = { status: 200, body: '{"lines":[]}' }
  desk = createServer((request, response) => {
    headers = request.headers
    response.writeHead(answer.status).end(answer.body)
  })
  await new Promise<void>((resolve) => desk.listen(0, '127.0.0.1', resolve))
})
afterEach(async () => {
  await new Promise((resolve) => desk.close(resolve))
  rmSync(folder, { recursive: true, force: true })
})

function link(
  text = `${TWO_SIDES}\ntraining: { url: "http://127.0.0.1:${(desk.address() as AddressInfo).port}", secret_file: secret }\n`,
) {
  const { config } = parseConfig(text, 'line.yaml')
  return new TrainingLink(join(folder, 'line.yaml'), () => config)
}
const ASK = { method: 'GET', path: '/api/training' } as const

describe('the way to the training desk', () => {
  it('shows the secret, and a role or a key only where they are given', async () => {
    expect(await link().ask(ASK)).toEqual({ lines: [] })
    expect(headers).toMatchObject({ authorization: 'Bearer open sesame' })
    expect(headers['x-training-role'] ?? headers['x-training-key']).toBeUndefined()
    await link().ask({ ...ASK, instructor: 'engineer' })
    expect(headers['x-training-role']).toBe('engineer')
    await link().ask({ ...ASK, instructor: { key: 'abc' } })
    expect(headers['x-training-key']).toBe('abc')
  })

  it('without a desk in the config there is none', async () => {
    await expect(link(TWO_SIDES).ask(ASK)).rejects.toMatchObject({ code: 'EVP_TRAINING_OFF' })
  })

  it('hands on what the desk refuses, by its code', async () => {
    answer = { status: 409, body: JSON.stringify({ code: 'EVP_TRAINING_STATE', message: 'not now', remedy: '' }) }
    await expect(link().ask(ASK)).rejects.toMatchObject({ code: 'EVP_TRAINING_STATE', message: 'not now' })
  })

  it.each([
    ['no JSON', { status: 200, body: 'hello' }],
    ['an unknown code', { status: 500, body: '{"code":"EVP_WHAT","message":"","remedy":""}' }],
    ['a wrong secret', { status: 401, body: '{"code":"EVP_LOGIN_NEEDED","message":"","remedy":""}' }],
  ])('a desk that answers with %s does not answer', async (_, told) => {
    answer = told
    await expect(link().ask(ASK)).rejects.toMatchObject({ code: 'EVP_TRAINING_UNREACHABLE' })
  })

  it('nor does one that is gone, or whose secret cannot be read; neither tells the secret', async () => {
    const gone = link()
    rmSync(join(folder, 'secret'))
    await expect(gone.ask(ASK)).rejects.toMatchObject({ code: 'EVP_TRAINING_UNREACHABLE' })
    writeFileSync(join(folder, 'secret'), 'open sesame')
    const nobody = `${TWO_SIDES}\ntraining: { url: "http://127.0.0.1:1", secret_file: secret }\n`
    const error: Error = await link(nobody)
      .ask(ASK)
      .then(
        () => new Error('answered'),
        (thrown) => thrown,
      )
    expect(error).toMatchObject({ code: 'EVP_TRAINING_UNREACHABLE' })
    expect(error.message).not.toContain('sesame')
  })

  it('goes over no network: an address of another machine is refused with the config', () => {
    const far = `${TWO_SIDES}\ntraining: { url: "http://192.0.2.7:80", secret_file: secret }\n`
    expect(() => link(far)).toThrow(/the training desk runs on this machine/)
  })
})
