/**
 * From a device's answer to the picture: a Modbus server that answers with a count, the gateway as a
 * process, the Live page in a headless browser. All on one machine, so that one clock dates both ends.
 */
import { once } from 'node:events'
import { type AddressInfo, createServer, type Server } from 'node:net'
import { encodeRegister } from '../../lib/codec/encode.ts'
import { openBrowser, openPage } from '../browser/support/pages.ts'
import { startGatewayProcess } from '../integration/support/gateway.ts'
import type { Measured } from './bench.ts'

const RATE_HZ = 100
const SETTLE_MS = 4000
const MEASURE_MS = 15_000

const wallMs = () => performance.timeOrigin + performance.now()

/** Answers every read with the number of the answer in both float32 sides, and keeps when each answer left. */
class CountingDevice {
  readonly answeredMs: number[] = []
  readonly #server: Server

  constructor() {
    this.#server = createServer((socket) => {
      socket.setNoDelay(true)
      socket.on('error', () => socket.destroy())
      socket.on('data', (request) => socket.write(this.#answer(request)))
    })
  }

  async listen(): Promise<number> {
    this.#server.listen(0, '127.0.0.1')
    await once(this.#server, 'listening')
    return (this.#server.address() as AddressInfo).port
  }

  close(): void {
    this.#server.close()
  }

  #answer(request: Buffer): Buffer {
    const words = encodeRegister(this.answeredMs.length, 'float32', 'ABCD')
    const answer = Buffer.alloc(9 + 8)
    request.copy(answer, 0, 0, 4)
    answer.writeUInt16BE(3 + 8, 4)
    answer.writeUInt8(request.readUInt8(6), 6)
    answer.writeUInt8(request.readUInt8(7), 7)
    answer.writeUInt8(8, 8)
    for (const [i, word] of [...words, ...words].entries()) answer.writeUInt16BE(word, 9 + 2 * i)
    this.answeredMs.push(wallMs())
    return answer
  }
}

/** Runs in the page before anything else: notes which count was newest when a frame had been drawn. */
function watchFrames(): void {
  const drawn: { count: number; atMs: number }[] = []
  Object.assign(globalThis, { drawn })
  let newest = -1
  const Original = globalThis.WebSocket
  globalThis.WebSocket = class extends Original {
    constructor(url: string | URL, protocols?: string | string[]) {
      super(url, protocols)
      this.addEventListener('message', ({ data }) => {
        if (!(data instanceof ArrayBuffer) || data.byteLength < 40) return
        const view = new DataView(data)
        const rows = view.getUint32(8, true)
        if (view.getUint8(0) !== 1 || (view.getUint8(1) & 1) !== 0) return
        newest = view.getFloat32(32 + rows * 4 + (rows - 1) * 4, true)
        const count = newest
        // The frame after the next callback has been drawn when the one after it begins.
        requestAnimationFrame(() =>
          requestAnimationFrame(() => drawn.push({ count, atMs: performance.timeOrigin + performance.now() })),
        )
      })
    }
  }
}

export async function run(): Promise<Measured[]> {
  const device = new CountingDevice()
  const cell = (id: string, address: number) => ({
    id,
    device: 'amp',
    register: { address, type: 'float32' as const },
    force: { gain: 1, capacity: 1e6 },
  })
  const port = await device.listen()
  const gateway = await startGatewayProcess({
    version: 1,
    devices: [{ id: 'amp', transport: 'modbus-tcp', host: '127.0.0.1', port, rate_hz: RATE_HZ }],
    channels: [cell('ds', 0), cell('os', 2)],
    zones: [{ id: 'z', cells: { drive_side: 'ds', operator_side: 'os' } }],
  })
  const browser = await openBrowser()
  try {
    const { page } = await openPage(browser, 'about:blank')
    await page.addInitScript(watchFrames)
    await page.goto(gateway.address)
    await page.waitForTimeout(SETTLE_MS)
    await page.evaluate(() => (globalThis as unknown as { drawn: unknown[] }).drawn.splice(0))
    await page.waitForTimeout(MEASURE_MS)
    const drawn = await page.evaluate(
      () => (globalThis as unknown as { drawn: { count: number; atMs: number }[] }).drawn,
    )
    const ages = drawn.flatMap(({ count, atMs }) => {
      const answered = device.answeredMs[count]
      return answered === undefined ? [] : [atMs - answered]
    })
    return summary(ages)
  } finally {
    await browser.close()
    await gateway.stop()
    device.close()
  }
}

function summary(ages: number[]): Measured[] {
  const sorted = [...ages].sort((a, b) => a - b)
  const at = (share: number) => sorted[Math.min(sorted.length - 1, Math.floor(share * sorted.length))] ?? Number.NaN
  const note = `${sorted.length} pictures, ${RATE_HZ} samples/s, headless without a graphics card`
  return [
    { name: 'device answer → picture, p50', value: at(0.5), unit: 'ms', note },
    { name: 'device answer → picture, p99', value: at(0.99), unit: 'ms', note: `${note}; target < 50 ms` },
  ]
}
