import type { IncomingMessage, ServerResponse } from 'node:http'
import { Readable } from 'node:stream'
import { pipeline } from 'node:stream/promises'
import { DATA_POLICY, SECURITY_HEADERS } from './security-headers.ts'

/** A reader that takes nothing for this long has gone, whatever its connection says: what it holds is for others. */
const STALLED_MS = 120_000

interface StreamedBodyParts {
  readonly contentType: string
  readonly fileName: string
  readonly chunks: AsyncGenerator<Uint8Array>
  /** Breaks the file off at once, also while its reader takes nothing. */
  readonly signal: AbortSignal
  /**
   * Told when nobody will read on, also after the end, where it means nothing. Frees what the file is made from: a
   * generator that was never asked for anything does not come to its own end.
   */
  readonly dropped: () => Promise<void>
}

/** A file whose bytes come while they are sent: no faster than the reader takes them. */
export class StreamedBody {
  readonly contentType: string
  readonly fileName: string
  readonly chunks: AsyncGenerator<Uint8Array>
  readonly signal: AbortSignal
  readonly #dropped: () => Promise<void>

  constructor({ contentType, fileName, chunks, signal, dropped }: StreamedBodyParts) {
    this.contentType = contentType
    this.fileName = fileName
    this.chunks = chunks
    this.signal = signal
    this.#dropped = dropped
  }

  async drop(): Promise<void> {
    await this.chunks.return(undefined)
    await this.#dropped()
  }
}

/**
 * Sends a file. When it breaks off, so does the connection: a reader must not take a part for the whole (RFC 9112, 8).
 * Resolves when it is over, however it ended.
 */
export async function sendStream(
  req: IncomingMessage,
  res: ServerResponse,
  body: StreamedBody,
  stalledMs = STALLED_MS,
): Promise<void> {
  const headers = {
    ...SECURITY_HEADERS,
    'content-security-policy': DATA_POLICY,
    'cache-control': 'no-store',
    'content-type': body.contentType,
    'content-disposition': `attachment; filename="${body.fileName}"`,
  }
  res.setTimeout(stalledMs, () => res.destroy())
  try {
    res.writeHead(200, headers)
    const { signal } = body
    if (req.method === 'HEAD') res.end()
    else await pipeline(Readable.from(body.chunks, { objectMode: true, highWaterMark: 2 }), res, { signal })
  } catch {
    // The one who reads has left, or the export was cancelled or failed: the export itself keeps and tells why.
    res.destroy()
  } finally {
    await body.drop()
  }
}
