/** Messages over which the quickest is sought. At four `now` a second: a quarter of a minute. */
const REMEMBERED = 64

/**
 * The gateway's clock as seen from here. Every message that carries the gateway's time is late by the
 * way it travelled; the least late of the last few tells the offset best. An age counted with it is
 * short by that smallest delay (a millisecond or so on a plant network), never long.
 */
export class ClockAlignment {
  #offsets: number[] = []

  /** A message dated `gatewayMs` (epoch) was received at `localMs` (this browser's monotonic clock). */
  note(gatewayMs: number, localMs: number): void {
    this.#offsets.push(localMs - gatewayMs)
    if (this.#offsets.length > REMEMBERED) this.#offsets.shift()
  }

  /** The gateway's clock now, epoch ms; null before the first message. */
  gatewayNow(localMs: number): number | null {
    return this.#offsets.length === 0 ? null : localMs - Math.min(...this.#offsets)
  }

  clear(): void {
    this.#offsets = []
  }
}
