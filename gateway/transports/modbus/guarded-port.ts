import { EventEmitter } from 'node:events'
import { refuseUnlessRead } from './read-gate.ts'

/**
 * The port modbus-serial writes to and hears from, in RTU form. Every byte towards a device goes
 * through `write`, hence through the read gate; only answers that passed all checks are emitted.
 * The library keeps one entry a transaction id; with one request in flight a fixed id is right.
 */
export class GuardedPort extends EventEmitter {
  readonly isOpen = true
  readonly #send: (adu: Buffer) => void

  constructor(send: (adu: Buffer) => void) {
    super()
    this.#send = send
  }

  open(done: (error?: Error) => void): void {
    done()
  }

  close(done: (error?: Error) => void): void {
    done()
  }

  /** Throws EVP_FUNCTION_REFUSED, before any byte leaves, unless `adu` is a read request. */
  write(adu: Buffer): void {
    refuseUnlessRead(adu)
    this.#send(adu)
  }

  /** Hands a checked answer to the library. */
  deliver(adu: Buffer): void {
    this.emit('data', adu)
  }
}
