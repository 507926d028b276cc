/**
 * A process of its own with N listening pages, so that the gateway's processor time is its own:
 * `stream-listeners.ts URL N EPOCH_OFFSET_MS`. Says `ready` to its parent when all listen; told
 * anything, answers with how old each sample was on arrival.
 */
import WebSocket from 'ws'
import { decodeSampleBatch } from '../../shared/protocol/sample-batch.ts'
import { STREAM_PATH, SUBPROTOCOL } from '../../shared/protocol/version.ts'

const [, , url = '', count = '1', offset = '0'] = process.argv
const epochOffsetMs = Number(offset)
const agesMs: number[] = []

/** The monotonic clock is one for all processes of a machine; the offset is the gateway's own anchor. */
const nowMs = () => Number(process.hrtime.bigint()) / 1e6 + epochOffsetMs

function listen(): Promise<void> {
  return new Promise((resolve, reject) => {
    const socket = new WebSocket(`${url}${STREAM_PATH}`, SUBPROTOCOL)
    socket.binaryType = 'arraybuffer'
    socket.on('error', reject)
    socket.on('message', (data, isBinary) => {
      if (isBinary) {
        const arrivedMs = nowMs()
        const batch = decodeSampleBatch(data as ArrayBuffer)
        if (batch !== null && !batch.backlog) for (const t of batch.timesMs) agesMs.push(arrivedMs - t)
        return
      }
      const { type } = JSON.parse(String(data)) as { type: string }
      if (type === 'hello') socket.send(JSON.stringify({ type: 'subscribe', zones: [{ zone: 'a' }] }))
      if (type === 'caught-up') resolve()
    })
  })
}

await Promise.all(Array.from({ length: Number(count) }, listen))
process.on('message', () => process.send?.(agesMs.splice(0), () => process.exit(0)))
process.send?.('ready')
