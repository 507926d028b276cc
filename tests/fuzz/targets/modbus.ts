import type { ExpectedReply, Framing } from '../../../gateway/transports/modbus/framing.ts'
import { rtuFraming } from '../../../gateway/transports/modbus/framing-rtu.ts'
import { tcpFraming } from '../../../gateway/transports/modbus/framing-tcp.ts'
import type { Random } from '../../../lib/uncertainty/random.ts'
import { slowCrc } from '../../integration/support/misbehaving-server.ts'
import { below, mutatedBytes, noise, pick } from '../mutate.ts'
import type { Target } from '../target.ts'

/** Answers of a device, changed, and noise, on both framings. Right is told here from the specification, not by the product. */
export const modbus: Target = {
  name: 'Modbus answers',
  inputs: 40_000,
  holds: 'is taken only when every byte is what the request asked for, by the specification; the parser never throws',
  async open() {
    return {
      feed(random) {
        const framing = pick(random, [tcpFraming, rtuFraming])
        const want = wanted(random)
        const right = answer(framing, want, noise(random, 2 * want.count))
        const bytes = random.uniform() < 0.2 ? noise(random, below(random, 300)) : mutatedBytes(random, right)
        const parsed = framing.parse(bytes, want, (id) => id === 7)
        const taken = parsed.kind === 'reply' || parsed.kind === 'exception'
        if (taken !== isRight(framing, want, bytes))
          throw new Error(`${framing.name} ${bytes.toString('hex')}: ${parsed.kind}`)
        return taken ? 'taken' : 'refused'
      },
      close: async () => {},
    }
  },
}

function wanted(random: Random): ExpectedReply {
  return {
    transactionId: below(random, 0x10000),
    unitId: below(random, 256),
    function: pick(random, [3, 4]),
    count: 1 + below(random, 125),
    sent: Buffer.alloc(0),
  }
}

function answer(framing: Framing, want: ExpectedReply, data: Buffer): Buffer {
  const body = Buffer.concat([Buffer.from([want.unitId, want.function, data.length]), data])
  if (framing === tcpFraming) return Buffer.concat([mbap(want.transactionId, body.length), body])
  const crc = slowCrc(body)
  return Buffer.concat([body, Buffer.from([crc & 0xff, crc >> 8])])
}

function mbap(transactionId: number, length: number): Buffer {
  return Buffer.from([transactionId >> 8, transactionId & 0xff, 0, 0, length >> 8, length & 0xff])
}

/** Modbus Messaging on TCP/IP V1.0b §3.1.3, Modbus over Serial Line V1.02 §2.5.1, Application Protocol V1.1b3 §6.3, §7. */
function isRight(framing: Framing, want: ExpectedReply, bytes: Buffer): boolean {
  const isTcp = framing === tcpFraming
  const body = isTcp ? bytes.subarray(6) : bytes.subarray(0, -2)
  const isReply = body[1] === want.function && body[2] === 2 * want.count && body.length === 3 + 2 * want.count
  const isException = body[1] === (want.function | 0x80) && body.length === 3
  if (body[0] !== want.unitId || !(isReply || isException)) return false
  if (isTcp) return bytes.subarray(0, 6).equals(mbap(want.transactionId, body.length))
  return bytes.readUInt16LE(bytes.length - 2) === slowCrc(body)
}
