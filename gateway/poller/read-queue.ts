import { EvenpullError } from '../../shared/errors.ts'
import type { RegisterRead } from './device-runner.ts'

/** Reads that may wait for one line; more would only answer people who have left. */
const MOST_WAITING = 8

/** Single reads that wait for their turn on a device's line, first come first served. */
export class ReadQueue {
  readonly #waiting: { run: () => Promise<void>; refuse: (error: EvenpullError) => void }[] = []

  get empty(): boolean {
    return this.#waiting.length === 0
  }

  /** Resolves or rejects with the read, once `serveOne` has come to it. Rejects with EVP_TOO_MANY when eight wait. */
  add(read: () => Promise<RegisterRead>): Promise<RegisterRead> {
    if (this.#waiting.length >= MOST_WAITING)
      return Promise.reject(
        new EvenpullError('EVP_TOO_MANY', `${MOST_WAITING} register reads already wait for this device`),
      )
    return new Promise((resolve, reject) => {
      this.#waiting.push({ run: () => read().then(resolve, reject), refuse: reject })
    })
  }

  async serveOne(): Promise<void> {
    await this.#waiting.shift()?.run()
  }

  /** Rejects everything that waits. */
  refuse(error: EvenpullError): void {
    for (const { refuse } of this.#waiting.splice(0)) refuse(error)
  }
}
