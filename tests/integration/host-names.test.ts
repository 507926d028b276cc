import { request } from 'node:http'
import { afterEach, expect, it } from 'vitest'
import { tcpDevice, twoCells } from './support/cell-config.ts'
import { type GatewayProcess, startGatewayProcess } from './support/gateway.ts'

let gateway: GatewayProcess
afterEach(() => gateway.stop())

const statusUnder = (host: string) =>
  new Promise<number | undefined>((resolve, reject) => {
    const { hostname, port } = new URL(gateway.address)
    request({ hostname, port, path: '/api/zones', headers: { host } }, (reply) => {
      reply.resume()
      resolve(reply.statusCode)
    })
      .once('error', reject)
      .end()
  })

it('a gateway answers under the further names that its config gives, and under no stranger’s', async () => {
  const config = twoCells(tcpDevice(1))
  gateway = await startGatewayProcess({ ...config, gateway: { names: ['line-1.plant.example'] } })
  expect(await statusUnder('LINE-1.plant.example')).toBe(200)
  expect(await statusUnder('line-1.plant.example:8443')).toBe(200)
  expect(await statusUnder('stranger.example')).toBe(403)
})
