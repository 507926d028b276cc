import type { Behaviour, Turn } from './misbehaving-server.ts'

export type Line = 'TCP' | 'RTU over TCP' | 'RTU'

export const TCP = ['TCP'] as const
export const RTU = ['RTU over TCP', 'RTU'] as const
export const ALL = ['TCP', 'RTU over TCP', 'RTU'] as const

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
export const AFTER_TIMEOUT_MS = SCENARIO_TIMEOUT_MS + 40

export const BROKEN = ['EVP_FRAME_INVALID', 'EVP_DEVICE_CLOSED']
export const SILENT = ['EVP_DEVICE_TIMEOUT', 'EVP_DEVICE_CLOSED']

/** A pulled serial path is missing for a moment, and reads meanwhile say so. */
export const LOST = [...BROKEN, 'EVP_DEVICE_TIMEOUT', 'EVP_SERIAL_OPEN', 'EVP_DEVICE_UNREACHABLE']

export const always = (behaviour: Behaviour) => () => behaviour
export const sends = (frame: (turn: Turn) => Buffer) => always((turn) => turn.send(frame(turn)))
export const slowly = (ms: number): Behaviour => {
  return (turn) => turn.sendAfter(ms, turn.frame())
}

/** Keeps each answer back and sends it in place of the next one. */
export function oneBehind(): Behaviour {
  let kept: Buffer | null = null
  return (turn) => {
    if (kept !== null) turn.send(kept)
    kept = turn.frame()
  }
}

/** Keeps the first answer back and sends it just before the second. */
export function oldBeforeNew(gapMs: number): () => Behaviour {
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
export function doubledIntoNext(answerMs: number, doubleMs: number): () => Behaviour {
  return () => {
    let before: Buffer | null = null
    return (turn) => {
      if (before !== null) turn.sendAfter(doubleMs, before)
      before = turn.frame()
      turn.sendAfter(answerMs, before)
    }
  }
}

export function dribble(turn: Turn): void {
  for (const [i, byte] of turn.frame().entries()) turn.sendAfter(i * 3, Buffer.from([byte]))
}

export function halves(turn: Turn): void {
  const frame = turn.frame()
  turn.send(frame.subarray(0, 4))
  turn.sendAfter(20, frame.subarray(4))
}

export function fin(bytes: (turn: Turn) => number): Behaviour {
  return (turn) => turn.socket.end(turn.frame().subarray(0, bytes(turn)))
}

/** A reset with bytes of the answer already on their way. */
export function reset(bytes: (turn: Turn) => number): Behaviour {
  return (turn) => {
    turn.send(turn.frame().subarray(0, bytes(turn)))
    setTimeout(() => turn.socket.resetAndDestroy(), 10)
  }
}

export const half = (turn: Turn) => turn.frame().length >> 1
export const none = () => 0

export function stopsReading(turn: Turn): void {
  turn.socket.pause()
}

export const garbage = Buffer.from([0x00, 0xff, 0x13, 0x37, 0xa5])

export const EXCEPTIONS = [1, 2, 3, 4, 5, 6, 8, 10, 11, 0, 7, 99, 255]
