import { Agent, request } from 'node:http'
import { routeTable } from '../../../gateway/http/routes/table.ts'
import type { Random } from '../../../lib/uncertainty/random.ts'
import { ERROR_CATALOGUE } from '../../../shared/errors.ts'
import { errorBody } from '../../../shared/schemas/health.ts'
import { bearer, madeAccess, storedUser } from '../../access/support/made-access.ts'
import { serve } from '../../http/support/served.ts'
import { mutatedBytes, mutatedJson, mutatedText, noise, pick } from '../mutate.ts'
import type { Target } from '../target.ts'

/** Every route that takes a body. */
const TARGETS = routeTable('fuzz').flatMap(({ method, path, parameters, body }) => {
  if (body === undefined) return []
  const filled = parameters.reduce(
    (text, { name, example }) => text.replace(`{${name}}`, encodeURIComponent(example)),
    path,
  )
  return [{ method, path: filled, example: body.example }]
})

/** Bodies for every route that takes one, over a real socket that is kept open. */
export const http: Target = {
  name: 'HTTP bodies',
  inputs: 25_000,
  holds: 'is answered as asked, or refused with a code of the catalogue; never with a fault of the product',
  async open() {
    // Whoever asks may do everything, and bears a name that no body of a route takes his rights from.
    const { access } = madeAccess([await storedUser('engineer', 'F. Fitter')])
    const served = await serve({ sources: { access } })
    const agent = new Agent({ keepAlive: true, maxSockets: 1 })
    return {
      async feed(random, i) {
        served.nowMs = i * 1000
        const { method, path, example } = pick(random, TARGETS)
        const { status, text } = await sent(agent, served.port, method, path, bodyOf(random, example))
        if (status < 400) return 'taken'
        const { code } = errorBody.parse(JSON.parse(text))
        if (status >= 500 || !Object.hasOwn(ERROR_CATALOGUE, code) || code === 'EVP_INTERNAL')
          throw new Error(`${method} ${path}: ${status} ${text.slice(0, 500)}`)
        return 'refused'
      },
      async close() {
        agent.destroy()
        await served.close()
      },
    }
  },
}

function bodyOf(random: Random, example: unknown): Buffer {
  let value = example
  if (random.uniform() < 0.8) value = mutatedJson(random, value)
  if (random.uniform() < 0.4) value = mutatedJson(random, value)
  const text = JSON.stringify(value) ?? ''
  const chance = random.uniform()
  if (chance < 0.15) return Buffer.from(mutatedText(random, text))
  if (chance < 0.2) return noise(random, 200)
  return chance < 0.3 ? mutatedBytes(random, Buffer.from(text)) : Buffer.from(text)
}

function sent(
  agent: Agent,
  port: number,
  method: string,
  path: string,
  body: Buffer,
): Promise<{ status: number; text: string }> {
  return new Promise((resolve, reject) => {
    const headers = { ...bearer('engineer'), 'content-type': 'application/json', 'content-length': String(body.length) }
    const req = request({ host: '127.0.0.1', port, agent, method, path, headers }, (res) => {
      let text = ''
      res.setEncoding('utf8')
      res.on('data', (chunk) => {
        text += chunk
      })
      res.on('end', () => resolve({ status: res.statusCode ?? 0, text }))
      res.on('error', reject)
    })
    req.on('error', reject)
    req.end(body)
  })
}
