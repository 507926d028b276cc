import { createServer, get, type IncomingMessage, type RequestListener, type Server } from 'node:http'
import type { AddressInfo } from 'node:net'
import { afterEach, describe, expect, it, vi } from 'vitest'
import type { ExportedChunk } from '../../gateway/export/write-export.ts'
import { ZoneExports } from '../../gateway/export/zone-exports.ts'
import { sendStream } from '../../gateway/http/streamed-body.ts'
import { madePlant, madeSource, START_MS } from '../export/support/made-range.ts'

const QUERY = { from: START_MS, to: START_MS + 1000, format: 'csv', job: 'job-1234' } as const
const GENEROUS = { timeout: 20_000, interval: 10 }

/** A file without end, made faster than anybody reads it. */
async function* endless(): AsyncGenerator<ExportedChunk> {
  const bytes = new Uint8Array(1 << 20)
  for (let rows = 1; ; rows++) yield { bytes, rows, newestMs: null }
}

let server: Server
afterEach(() => {
  server.closeAllConnections()
  server.close()
})

async function listening(listener: RequestListener): Promise<number> {
  server = createServer(listener)
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve))
  return (server.address() as AddressInfo).port
}

/** An export on its way to a reader that takes its head and nothing more. */
async function toStalledReader(stalledMs?: number) {
  const source = madeSource()
  const options = { config: () => madePlant, version: '1.2.3', nowEpochMs: () => START_MS, write: endless }
  const exporting = new ZoneExports({ recorder: source, ...options })
  const port = await listening(async (req, res) => {
    await sendStream(req, res, await exporting.begin('z', QUERY, null), stalledMs)
  })
  const answer = await new Promise<IncomingMessage>((resolve, reject) => {
    get({ host: '127.0.0.1', port, agent: false }, resolve).on('error', reject)
  })
  const brokenOff = new Promise<void>((resolve) => answer.on('error', () => resolve()))
  return { exporting, source, answer, brokenOff, state: () => exporting.progress('job-1234').state }
}

describe('a file that nobody takes', () => {
  it('ends when it is cancelled, and its reader sees that it is not whole', async () => {
    const { exporting, source, answer, brokenOff, state } = await toStalledReader()
    expect(state()).toBe('running')
    exporting.cancel('job-1234')
    await vi.waitFor(() => expect(state()).toBe('cancelled'), GENEROUS)
    expect(source.events.map(({ data }) => data.state)).toEqual(['cancelled'])
    answer.resume()
    await brokenOff
  })

  it('ends by itself after a while, so that others get their turn', async () => {
    const { source, state } = await toStalledReader(50)
    await vi.waitFor(() => expect(state()).toBe('cancelled'), GENEROUS)
    expect(source.events.map(({ data }) => data.state)).toEqual(['cancelled'])
  })

  it('ends as cancelled, not as failed, when its reader leaves', async () => {
    const { answer, source, state } = await toStalledReader()
    answer.destroy()
    await vi.waitFor(() => expect(state()).toBe('cancelled'), GENEROUS)
    expect(source.events.map(({ data }) => data.state)).toEqual(['cancelled'])
  })
})
