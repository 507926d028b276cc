import type { IncomingMessage, ServerResponse } from 'node:http'
import { Readable } from 'node:stream'
import { pipeline } from 'node:stream/promises'
import { DATA_POLICY, SECURITY_HEADERS } from './security-headers.ts'

/** A file whose bytes come while they are sent: no faster than the reader takes them. */
export class StreamedBody {
  readonly contentType: string
  readonly fileName: string
  readonly chunks: AsyncGenerator<Uint8Array>
  readonly #dropped: () => void

  /** `dropped` is told when nobody will read on; also after the end, where it means nothing. */
  constructor(contentType: string, fileName: string, chunks: AsyncGenerator<Uint8Array>, dropped: () => void) {
    this.contentType = contentType
    this.fileName = fileName
    this.chunks = chunks
    this.#dropped = dropped
  }

  async drop(): Promise<void> {
    this.#dropped()
    await this.chunks.return(undefined)
  }
}

/**
 * Sends a file. When it breaks off, so does the connection: a reader must not take a part for the whole (RFC 9112, 8).
 * Resolves when it is over, however it ended.
 */
export async function sendStream(req: IncomingMessage, res: ServerResponse, body: StreamedBody): Promise<void> {
  const headers = {
    ...SECURITY_HEADERS,
    'content-security-policy': DATA_POLICY,
    'cache-control': 'no-store',
    'content-type': body.contentType,
    'content-disposition': `attachment; filename="${body.fileName}"`,
  }
  res.writeHead(200, headers)
  try {
    if (req.method === 'HEAD') res.end()
    else await pipeline(Readable.from(body.chunks, { objectMode: true, highWaterMark: 2 }), res)
  } catch {
    // The one who reads has left, or the export was cancelled or failed: the export itself keeps and tells why.
    res.destroy()
  } finally {
    await body.drop()
  }
}
