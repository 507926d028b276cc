import { connect, createServer } from 'node:net'
import type { Config } from '../../shared/schemas/config.ts'
import { type Finding, look, reasonOf, right, wrong } from './finding.ts'

/** Longest wait for a connection, ms. */
const CONNECT_MS = 3000

/** Whether every device on the network takes a connection. It is closed again at once; nothing is sent. */
export function lookAtDevices({ devices }: Config): Promise<Finding[]> {
  const addresses = devices.flatMap((device) => ('host' in device ? [{ host: device.host, port: device.port }] : []))
  const each = new Map(addresses.map((address) => [`${address.host}:${address.port}`, address]))
  return Promise.all([...each].map(([name, { host, port }]) => lookAtDevice(name, host, port)))
}

async function lookAtDevice(name: string, host: string, port: number): Promise<Finding> {
  const what = `device at ${name}`
  try {
    const ms = await connected(host, port)
    return right(what, `it takes a connection, after ${ms.toFixed(1)} ms`)
  } catch (error) {
    return wrong(what, `no connection: ${reasonOf(error)}`, 'Check power, cable, address and port of the device.')
  }
}

function connected(host: string, port: number): Promise<number> {
  const startMs = performance.now()
  return new Promise((resolve, reject) => {
    const socket = connect({ host, port, timeout: CONNECT_MS })
    socket.once('connect', () => {
      socket.destroy()
      resolve(performance.now() - startMs)
    })
    socket.once('timeout', () => {
      socket.destroy()
      reject(Object.assign(new Error('no answer in time'), { code: 'ETIMEDOUT' }))
    })
    socket.once('error', reject)
  })
}

/** Whether the gateway could listen where the config says. */
export async function lookAtPort({ gateway: { host, port } }: Config): Promise<Finding> {
  const what = `the gateway's address ${host}:${port}`
  if (port === 0) return right(what, 'a free port is taken at the start')
  try {
    await listened(host, port)
    return right(what, 'it is free')
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code === 'EADDRINUSE')
      return look(what, 'a program listens there', 'If that is not this gateway, stop it or change gateway.port.')
    return wrong(what, `it cannot be bound: ${reasonOf(error)}`, 'Set gateway.host to an address of this machine.')
  }
}

function listened(host: string, port: number): Promise<void> {
  const server = createServer()
  return new Promise((resolve, reject) => {
    server.once('error', reject)
    server.listen(port, host, () => server.close(() => resolve()))
  })
}
