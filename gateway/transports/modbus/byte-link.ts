/** An open connection as bytes: a TCP socket or a serial port. */
export interface ByteLink {
  write(bytes: Buffer): void
  /** Ends it at once; no event follows. Resolves when the system has let go of it. May be called twice. */
  close(): Promise<void>
}

export interface LinkEvents {
  data(chunk: Buffer): void
  /** Called once when the other side or the system ended it. */
  ended(reason: string): void
}

/** Opens a link, or rejects with EVP_DEVICE_UNREACHABLE or EVP_SERIAL_OPEN; an abort gives up at once. */
export type OpenLink = (events: LinkEvents, signal: AbortSignal) => Promise<ByteLink>
