import type { Behaviour, Turn } from './misbehaving-server.ts'

export type Line = 'TCP' | 'RTU over TCP' | 'RTU'

const TCP = ['TCP'] as const
const RTU = ['RTU over TCP', 'RTU'] as const
const ALL = ['TCP', 'RTU over TCP', 'RTU'] as const

export interface Misbehaviour {
  readonly name: string
  readonly lines: readonly Line[]
  /** Requests the server answers in this way before it is well again. */
  readonly times: number
  readonly behave: () => Behaviour
  /** How a well server answers in this scenario; at once when left out. */
  readonly well?: Behaviour
  /**
   * What the reads meanwhile must be: `error`, none right; `right`, all right; `mixed`, errors
   * allowed (the server answers some requests as it should). A wrong value is never allowed.
   */
  readonly meanwhile: 'error' | 'right' | 'mixed'
  /** Error codes that may occur while it lasts. */
  readonly codes?: readonly string[]
}

/** Timeout the scenarios run with, ms. */
export const SCENARIO_TIMEOUT_MS = 150
const AFTER_TIMEOUT_MS = SCENARIO_TIMEOUT_MS + 40

const BROKEN = ['EVP_FRAME_INVALID', 'EVP_DEVICE_CLOSED']
const SILENT = ['EVP_DEVICE_TIMEOUT', 'EVP_DEVICE_CLOSED']

/** A pulled serial path is missing for a moment, and reads meanwhile say so. */
const LOST = [...BROKEN, 'EVP_DEVICE_TIMEOUT', 'EVP_SERIAL_OPEN', 'EVP_DEVICE_UNREACHABLE']

const always = (behaviour: Behaviour) => () => behaviour
const sends = (frame: (turn: Turn) => Buffer) => always((turn) => turn.send(frame(turn)))
const slowly = (ms: number): Behaviour => {
  return (turn) => turn.sendAfter(ms, turn.frame())
}

/** Keeps each answer back and sends it in place of the next one. */
function oneBehind(): Behaviour {
  let kept: Buffer | null = null
  return (turn) => {
    if (kept !== null) turn.send(kept)
    kept = turn.frame()
  }
}

/** Keeps the first answer back and sends it just before the second. */
function oldBeforeNew(gapMs: number): () => Behaviour {
  return () => {
    let kept: Buffer | null = null
    return (turn) => {
      if (kept === null) kept = turn.frame()
      else {
        turn.send(kept)
        kept = null
        turn.sendAfter(gapMs, turn.frame())
      }
    }
  }
}

/** Answers right, and sends the same answer again while the next request waits for its own. */
function doubledIntoNext(answerMs: number, doubleMs: number): () => Behaviour {
  return () => {
    let before: Buffer | null = null
    return (turn) => {
      if (before !== null) turn.sendAfter(doubleMs, before)
      before = turn.frame()
      turn.sendAfter(answerMs, before)
    }
  }
}

function dribble(turn: Turn): void {
  for (const [i, byte] of turn.frame().entries()) turn.sendAfter(i * 3, Buffer.from([byte]))
}

function halves(turn: Turn): void {
  const frame = turn.frame()
  turn.send(frame.subarray(0, 4))
  turn.sendAfter(20, frame.subarray(4))
}

function fin(bytes: (turn: Turn) => number): Behaviour {
  return (turn) => turn.socket.end(turn.frame().subarray(0, bytes(turn)))
}

/** A reset with bytes of the answer already on their way. */
function reset(bytes: (turn: Turn) => number): Behaviour {
  return (turn) => {
    turn.send(turn.frame().subarray(0, bytes(turn)))
    setTimeout(() => turn.socket.resetAndDestroy(), 10)
  }
}

const half = (turn: Turn) => turn.frame().length >> 1
const none = () => 0

function stopsReading(turn: Turn): void {
  turn.socket.pause()
}

const garbage = Buffer.from([0x00, 0xff, 0x13, 0x37, 0xa5])

const EXCEPTIONS = [1, 2, 3, 4, 5, 6, 8, 10, 11, 0, 7, 99, 255]

export const MISBEHAVIOURS: readonly Misbehaviour[] = [
  // --- whose answer is it ---
  {
    name: 'transaction id of the request before',
    lines: TCP,
    times: 3,
    behave: sends((t) => t.frame({ transactionId: t.request.transactionId - 1 })),
    meanwhile: 'error',
    codes: [...BROKEN, 'EVP_DEVICE_TIMEOUT'],
  },
  {
    name: 'transaction id never sent',
    lines: TCP,
    times: 3,
    behave: sends((t) => t.frame({ transactionId: t.request.transactionId + 7 })),
    meanwhile: 'error',
    codes: BROKEN,
  },
  {
    name: 'transaction id 256 too high',
    lines: TCP,
    times: 3,
    behave: sends((t) => t.frame({ transactionId: t.request.transactionId + 256 })),
    meanwhile: 'error',
    codes: BROKEN,
  },
  {
    name: 'answer doubled in one segment',
    lines: ALL,
    times: 3,
    behave: sends((t) => Buffer.concat([t.frame(), t.frame()])),
    meanwhile: 'error',
    codes: BROKEN,
  },
  {
    name: 'answer and another answer in one segment',
    lines: ALL,
    times: 3,
    behave: sends((t) => Buffer.concat([t.frame(), t.frame({ words: t.words().map((w) => w ^ 1) })])),
    meanwhile: 'error',
    codes: BROKEN,
  },
  {
    name: 'answer doubled 1 ms later',
    lines: ALL,
    times: 20,
    behave: always((t) => {
      t.send(t.frame())
      t.sendAfter(1, t.frame())
    }),
    meanwhile: 'mixed',
    codes: BROKEN,
  },
  {
    name: 'answer doubled 8 ms later',
    lines: ALL,
    times: 20,
    behave: always((t) => {
      t.send(t.frame())
      t.sendAfter(8, t.frame())
    }),
    meanwhile: 'mixed',
    codes: BROKEN,
  },
  {
    name: 'answer doubled early into the next request',
    lines: ALL,
    times: 10,
    behave: doubledIntoNext(25, 3),
    well: slowly(25),
    meanwhile: 'mixed',
    codes: BROKEN,
  },
  {
    name: 'answer doubled just before the next answer',
    lines: ALL,
    times: 10,
    behave: doubledIntoNext(25, 21),
    well: slowly(25),
    meanwhile: 'mixed',
    codes: BROKEN,
  },
  {
    name: 'answer just after the timeout',
    lines: ALL,
    times: 2,
    behave: always((t) => t.sendAfter(SCENARIO_TIMEOUT_MS + 10, t.frame())),
    meanwhile: 'error',
    codes: [...SILENT, 'EVP_FRAME_INVALID'],
  },
  {
    name: 'answer 40 ms after the timeout',
    lines: ALL,
    times: 2,
    behave: always((t) => t.sendAfter(AFTER_TIMEOUT_MS, t.frame())),
    meanwhile: 'error',
    codes: [...SILENT, 'EVP_FRAME_INVALID'],
  },
  {
    name: 'answer 250 ms after the timeout',
    lines: ALL,
    times: 2,
    behave: always((t) => t.sendAfter(SCENARIO_TIMEOUT_MS + 250, t.frame())),
    meanwhile: 'error',
    codes: [...SILENT, 'EVP_FRAME_INVALID'],
  },
  {
    name: 'answer to the request before in place of each answer',
    lines: ALL,
    times: 6,
    behave: oneBehind,
    meanwhile: 'mixed',
    codes: [...SILENT, 'EVP_FRAME_INVALID'],
  },
  {
    name: 'late answer directly before the right one',
    lines: ALL,
    times: 2,
    behave: oldBeforeNew(0),
    meanwhile: 'mixed',
    codes: [...SILENT, 'EVP_FRAME_INVALID'],
  },
  {
    name: 'late answer 30 ms before the right one',
    lines: ALL,
    times: 2,
    behave: oldBeforeNew(30),
    meanwhile: 'mixed',
    codes: [...SILENT, 'EVP_FRAME_INVALID'],
  },
  {
    name: 'whole answer that nobody asked for, 10 ms after the right one',
    lines: ALL,
    times: 10,
    behave: always((t) => {
      t.send(t.frame())
      // One register fewer than is asked for: on RTU nobody could tell a whole one from the answer to the next request.
      const words = t.words().map((w) => w ^ 0x5555)
      const unasked = t.frame({
        transactionId: t.request.transactionId + 1,
        words: t.carriesId ? words : words.slice(1),
      })
      t.sendAfter(10, unasked)
    }),
    meanwhile: 'mixed',
    codes: BROKEN,
  },
  // --- wrong fields ---
  {
    name: 'wrong unit',
    lines: ALL,
    times: 3,
    behave: sends((t) => t.frame({ unitId: 9 })),
    meanwhile: 'error',
    codes: BROKEN,
  },
  {
    name: 'wrong function',
    lines: ALL,
    times: 3,
    behave: sends((t) => t.frame({ function: 3 })),
    meanwhile: 'error',
    codes: BROKEN,
  },
  {
    name: 'byte count two short of the data',
    lines: ALL,
    times: 3,
    behave: sends((t) => t.frame({ byteCount: 2 * t.request.count - 2 })),
    meanwhile: 'error',
    codes: BROKEN,
  },
  {
    name: 'byte count two more than the data',
    lines: ALL,
    times: 3,
    behave: sends((t) => t.frame({ byteCount: 2 * t.request.count + 2 })),
    meanwhile: 'error',
    codes: BROKEN,
  },
  {
    name: 'odd byte count',
    lines: ALL,
    times: 3,
    behave: sends((t) => t.frame({ byteCount: 2 * t.request.count - 1 })),
    meanwhile: 'error',
    codes: BROKEN,
  },
  {
    name: 'one register too few, frame whole',
    lines: ALL,
    times: 3,
    behave: sends((t) => t.frame({ words: t.words().slice(1) })),
    meanwhile: 'error',
    codes: BROKEN,
  },
  {
    name: 'one register too many, frame whole',
    lines: ALL,
    times: 3,
    behave: sends((t) => t.frame({ words: [...t.words(), 1] })),
    meanwhile: 'error',
    codes: BROKEN,
  },
  {
    name: 'no registers at all',
    lines: ALL,
    times: 3,
    behave: sends((t) => t.frame({ words: [] })),
    meanwhile: 'error',
    codes: BROKEN,
  },
  {
    name: 'length field one short',
    lines: TCP,
    times: 3,
    behave: sends((t) => t.frame({ lengthField: 2 + 2 * t.request.count })),
    meanwhile: 'error',
    codes: BROKEN,
  },
  {
    name: 'length field one long',
    lines: TCP,
    times: 3,
    behave: sends((t) => t.frame({ lengthField: 4 + 2 * t.request.count })),
    meanwhile: 'error',
    codes: BROKEN,
  },
  {
    name: 'length field 0',
    lines: TCP,
    times: 3,
    behave: sends((t) => t.frame({ lengthField: 0 })),
    meanwhile: 'error',
    codes: BROKEN,
  },
  {
    name: 'length field 65535',
    lines: TCP,
    times: 3,
    behave: sends((t) => t.frame({ lengthField: 65_535 })),
    meanwhile: 'error',
    codes: BROKEN,
  },
  {
    name: 'length field of an exception before a normal answer',
    lines: TCP,
    times: 3,
    behave: sends((t) => t.frame({ lengthField: 3 })),
    meanwhile: 'error',
    codes: BROKEN,
  },
  {
    name: 'wrong protocol id',
    lines: TCP,
    times: 3,
    behave: sends((t) => t.frame({ protocolId: 1 })),
    meanwhile: 'error',
    codes: BROKEN,
  },
  {
    name: 'trailing bytes',
    lines: ALL,
    times: 3,
    behave: sends((t) => Buffer.concat([t.frame(), Buffer.from([0, 0])])),
    meanwhile: 'error',
    codes: BROKEN,
  },
  {
    name: 'bad CRC',
    lines: RTU,
    times: 3,
    behave: sends((t) => t.frame({ crc: 0xbeef })),
    meanwhile: 'error',
    codes: BROKEN,
  },
  {
    name: 'CRC with its bytes swapped',
    lines: RTU,
    times: 3,
    behave: sends((t) => {
      const frame = t.frame()
      return Buffer.concat([frame.subarray(0, -2), frame.subarray(-2).reverse()])
    }),
    meanwhile: 'error',
    codes: BROKEN,
  },
  {
    name: 'one bit of a register flipped on the wire',
    lines: RTU,
    times: 3,
    behave: sends((t) => {
      const frame = t.frame()
      frame.writeUInt8(frame.readUInt8(4) ^ 0x10, 4)
      return frame
    }),
    meanwhile: 'error',
    codes: BROKEN,
  },
  // --- noise ---
  {
    name: 'garbage before the frame',
    lines: ALL,
    times: 3,
    behave: sends((t) => Buffer.concat([garbage, t.frame()])),
    meanwhile: 'error',
    codes: BROKEN,
  },
  { name: 'garbage alone', lines: ALL, times: 3, behave: sends(() => garbage), meanwhile: 'error', codes: BROKEN },
  {
    name: 'local echo of the request, then the answer',
    lines: RTU,
    times: 3,
    behave: sends((t) => Buffer.concat([t.request.raw, t.frame()])),
    meanwhile: 'error',
    codes: BROKEN,
  },
  {
    name: 'local echo of the request, the answer 5 ms later',
    lines: RTU,
    times: 3,
    behave: always((t) => {
      t.send(t.request.raw)
      t.sendAfter(5, t.frame())
    }),
    meanwhile: 'error',
    codes: BROKEN,
  },
  {
    name: 'local echo alone',
    lines: ALL,
    times: 3,
    behave: sends((t) => t.request.raw),
    meanwhile: 'error',
    codes: BROKEN,
  },
  // --- slow, but right ---
  { name: 'byte by byte', lines: ALL, times: 3, behave: always(dribble), meanwhile: 'right' },
  { name: 'in two halves', lines: ALL, times: 3, behave: always(halves), meanwhile: 'right' },
  // --- refusals ---
  ...EXCEPTIONS.map(
    (code): Misbehaviour => ({
      name: `exception ${code}`,
      lines: ALL,
      times: 1,
      behave: sends((t) => t.exception(code)),
      meanwhile: 'error',
      codes: ['EVP_MODBUS_EXCEPTION'],
    }),
  ),
  {
    name: 'exception with another function',
    lines: ALL,
    times: 3,
    behave: sends((t) => t.exception(2, { function: 0x83 })),
    meanwhile: 'error',
    codes: BROKEN,
  },
  {
    name: 'exception from another unit',
    lines: ALL,
    times: 3,
    behave: sends((t) => t.exception(2, { unitId: 9 })),
    meanwhile: 'error',
    codes: BROKEN,
  },
  {
    name: 'exception and then the answer',
    lines: ALL,
    times: 3,
    behave: sends((t) => Buffer.concat([t.exception(5), t.frame()])),
    meanwhile: 'error',
    codes: BROKEN,
  },
  // --- the link ---
  {
    name: 'truncated frame, then silence',
    lines: ALL,
    times: 2,
    behave: sends((t) => t.frame().subarray(0, half(t))),
    meanwhile: 'error',
    codes: BROKEN,
  },
  {
    name: 'frame without its last byte, then silence',
    lines: ALL,
    times: 2,
    behave: sends((t) => t.frame().subarray(0, -1)),
    meanwhile: 'error',
    codes: BROKEN,
  },
  { name: 'FIN mid-frame', lines: ALL, times: 2, behave: always(fin(half)), meanwhile: 'error', codes: LOST },
  { name: 'FIN before any byte', lines: ALL, times: 2, behave: always(fin(none)), meanwhile: 'error', codes: LOST },
  { name: 'RST mid-frame', lines: ALL, times: 2, behave: always(reset(half)), meanwhile: 'error', codes: LOST },
  { name: 'RST before any byte', lines: ALL, times: 2, behave: always(reset(none)), meanwhile: 'error', codes: LOST },
  {
    name: 'half-open: reads no more, keeps the socket',
    lines: ['TCP', 'RTU over TCP'],
    times: 1,
    behave: always(stopsReading),
    meanwhile: 'mixed',
    codes: SILENT,
  },
  {
    name: 'accepts, then never answers',
    lines: ALL,
    times: 5,
    behave: always(() => {}),
    meanwhile: 'error',
    codes: SILENT,
  },
]
