import { readFileSync } from 'node:fs'
import { connect } from 'node:net'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import WebSocket from 'ws'
import { ERROR_CATALOGUE } from '../../shared/errors.ts'
import { STREAM_PATH, SUBPROTOCOL } from '../../shared/protocol/version.ts'
import { errorBody } from '../../shared/schemas/health.ts'
import { bearer, seedUsers } from '../access/support/made-access.ts'
import { tcpDevice, twoCells } from './support/cell-config.ts'
import { type GatewayProcess, startGatewayProcess } from './support/gateway.ts'
import { allRequests, type Bad, FRAMES, MESSAGES, TOO_LONG } from './support/malformed.ts'

let gateway: GatewayProcess
let port = 0
beforeAll(async () => {
  gateway = await startGatewayProcess(twoCells(tcpDevice(1)), 0, seedUsers)
  port = Number(new URL(gateway.address).port)
})
afterAll(() => gateway.stop())

/** Each from an address of its own: limits a second are by address, and would hide what lies behind them. */
let nextAddress = 0
function ownAddress(): string {
  nextAddress += 1
  return `127.77.${(nextAddress >> 8) & 255}.${nextAddress & 255}`
}

/** Sends bytes and hangs up half (FIN): at once what is half, else once something comes; resolves to all that came back. */
function exchange({ bytes, refusals }: Bad): Promise<string> {
  return new Promise((resolve, reject) => {
    let reply = ''
    const socket = connect({ port, host: '127.0.0.1', localAddress: ownAddress(), allowHalfOpen: true })
    socket.on('connect', () => (refusals === null ? socket.end(bytes) : socket.write(bytes)))
    socket.setEncoding('latin1')
    socket.on('data', (chunk) => {
      reply += chunk
      socket.end()
    })
    socket.on('error', () => {}) // the gateway may close while we still send
    socket.on('close', () => resolve(reply))
    socket.setTimeout(15_000, () => {
      socket.destroy()
      reject(new Error(`neither answered nor closed: ${JSON.stringify(bytes.toString('latin1').slice(0, 120))}`))
    })
  })
}

const closeCode = (act: (socket: WebSocket) => void): Promise<number> =>
  new Promise((resolve, reject) => {
    const socket = new WebSocket(`ws://127.0.0.1:${port}${STREAM_PATH}`, SUBPROTOCOL, { headers: bearer('view') })
    socket.once('error', reject)
    socket.once('open', () => {
      socket.off('error', reject)
      socket.on('error', () => {})
      act(socket)
    })
    socket.once('close', resolve)
  })

const rawFrame = (frame: Buffer) => (socket: WebSocket) => {
  const { _socket } = socket as WebSocket & { _socket: { write(bytes: Buffer): void } }
  _socket.write(frame)
}

/** All of them, some at a time; what was wrong with any. */
async function sendAll(): Promise<string[]> {
  const faults: string[] = []
  const waiting = allRequests(port)
  const worker = async () => {
    for (let bad = waiting.pop(); bad !== undefined; bad = waiting.pop()) {
      const fault = faultOf(bad, await exchange(bad))
      if (fault !== null) faults.push(`${bad.what}: ${fault}`)
    }
  }
  await Promise.all(Array.from({ length: 8 }, worker))
  for (const { what, frame, code } of FRAMES) {
    const got = await closeCode(rawFrame(frame))
    if (got !== code) faults.push(`${what}: closed with ${got}, expected ${code}`)
  }
  const messages = await closeCode((socket) => {
    for (const message of MESSAGES) socket.send(message)
  })
  if (messages !== 1008) faults.push(`messages nobody understands: closed with ${messages}`)
  const long = await closeCode((socket) => socket.send(TOO_LONG))
  if (long !== 1009) faults.push(`a message too long: closed with ${long}`)
  return faults
}

/** What is not a clean refusal; null when it is one. */
function faultOf({ refusals }: Bad, reply: string): string | null {
  if (reply === '') return refusals === null ? null : 'no answer'
  const [head = '', body = ''] = reply.split('\r\n\r\n')
  const status = Number(/^HTTP\/1\.1 (\d{3}) /.exec(head)?.[1])
  if (!(refusals ?? [400, 401, 408]).includes(status)) return `answered ${head.split('\r\n')[0]} ${body.slice(0, 200)}`
  // Node answers a foreign Expect by itself, without a body.
  if (status === 417 || status === 411 || status === 501) return null
  const parsed = errorBody.safeParse(jsonOf(body))
  if (!parsed.success) return `not the usual form: ${body.slice(0, 200)}`
  return Object.hasOwn(ERROR_CATALOGUE, parsed.data.code) && parsed.data.code !== 'EVP_INTERNAL'
    ? null
    : parsed.data.code
}

function jsonOf(text: string): unknown {
  try {
    return JSON.parse(text)
  } catch {
    return null
  }
}

/** Memory of the process as the system counts it, MB. */
function residentMb(): number {
  const [, kb = ''] = /VmRSS:\s+(\d+) kB/.exec(readFileSync(`/proc/${gateway.pid}/status`, 'utf8')) ?? []
  return Number(kb) / 1024
}

describe('what is malformed', () => {
  it('is more than 200 inputs, each cleanly refused; the process stays up and its memory flat', async () => {
    const count = allRequests(port).length + FRAMES.length + MESSAGES.length + 1
    expect(count).toBeGreaterThanOrEqual(200)
    expect(await sendAll()).toEqual([])
    const before = residentMb()
    expect(await sendAll()).toEqual([])
    const grown = residentMb() - before
    console.log(`malformed input: ${count} kinds twice, memory ${before.toFixed(0)} MB and ${grown.toFixed(1)} MB more`)
    expect(grown).toBeLessThan(30)
    const health = await fetch(`${gateway.address}/api/health`, { headers: bearer('view') })
    expect(health.status).toBe(200)
    expect(((await health.json()) as { clients: number }).clients).toBe(0)
  })
})
