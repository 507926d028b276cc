import { createServer } from 'node:net'

/**
 * The device of the Modbus benchmark, in a process of its own so that it does not share the event
 * loop with what is measured. Arguments: `tcp` and the ms before an answer; or `rtu`, the ms of a
 * character and of the silence T3.5, to answer as late as a wire would let it: the request's
 * characters, the silence, the answer's characters. `rtu` answers change like a live signal,
 * `rtu-still` answers are all equal.
 */
const [mode, characterMs, silenceMs] = [process.argv[2], Number(process.argv[3]), Number(process.argv[4])]
const TCP_REQUEST = 12
const RTU_REQUEST = 8
const TIMER_GRAIN_MS = 2

function crc(bytes: Buffer): Buffer {
  let sum = 0xffff
  for (const byte of bytes) {
    sum ^= byte
    for (let bit = 0; bit < 8; bit++) sum = sum & 1 ? (sum >> 1) ^ 0xa001 : sum >> 1
  }
  return Buffer.from([sum & 0xff, sum >> 8])
}

function answerTcp(request: Buffer): Buffer {
  const count = request.readUInt16BE(10)
  const answer = Buffer.alloc(9 + 2 * count)
  request.copy(answer, 0, 0, 8)
  answer.writeUInt16BE(3 + 2 * count, 4)
  answer.writeUInt8(2 * count, 8)
  for (let i = 0; i < count; i++) answer.writeUInt16BE(request.readUInt16BE(8) + i, 9 + 2 * i)
  return answer
}

let answers = 0

function answerRtu(request: Buffer): Buffer {
  if (mode === 'rtu') answers++
  const count = request.readUInt16BE(4)
  const body = Buffer.alloc(3 + 2 * count)
  request.copy(body, 0, 0, 2)
  body.writeUInt8(2 * count, 2)
  for (let i = 0; i < count; i++) body.writeUInt16BE((answers + i) & 0xffff, 3 + 2 * i)
  return Buffer.concat([body, crc(body)])
}

/** A timer for the most, its last part turn by turn: exact to a few hundredths of a millisecond on an idle machine. */
function after(ms: number, then: () => void): void {
  const due = performance.now() + ms
  const step = () => (performance.now() >= due ? then() : setImmediate(step))
  if (ms > TIMER_GRAIN_MS) setTimeout(step, ms - TIMER_GRAIN_MS)
  else step()
}

const server = createServer((socket) => {
  socket.setNoDelay(true)
  socket.on('error', () => {})
  const length = mode === 'tcp' ? TCP_REQUEST : RTU_REQUEST
  let received: Buffer = Buffer.alloc(0)
  socket.on('data', (chunk) => {
    received = received.length === 0 ? chunk : Buffer.concat([received, chunk])
    for (; received.length >= length; received = received.subarray(length)) {
      const request = received.subarray(0, length)
      if (mode === 'tcp' && characterMs === 0) socket.write(answerTcp(request))
      else if (mode === 'tcp') after(characterMs, () => socket.write(answerTcp(request)))
      else {
        const answer = answerRtu(request)
        after((RTU_REQUEST + answer.length) * characterMs + silenceMs, () => socket.write(answer))
      }
    }
  })
})
server.listen(0, '127.0.0.1', () => {
  const address = server.address()
  console.log(`ready ${address !== null && typeof address === 'object' ? address.port : 0}`)
})
