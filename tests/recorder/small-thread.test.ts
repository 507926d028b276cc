import { getHeapSpaceStatistics } from 'node:v8'
import { Worker } from 'node:worker_threads'
import { describe, expect, it } from 'vitest'
import { startThread } from '../../gateway/small-thread.ts'

/** Makes so much that lives for a moment that a young generation grows to all it may, and tells what it takes. */
const BUSY = `
import { getHeapSpaceStatistics } from 'node:v8'
import { parentPort } from 'node:worker_threads'
const alive = []
for (let i = 0; i < 3e6; i++) alive[i % 100_000] = { i, text: 'a' + i }
parentPort.postMessage(getHeapSpaceStatistics().find(({ space_name }) => space_name === 'new_space').space_size)
`
const entry = new URL(`data:text/javascript,${encodeURIComponent(BUSY)}`)

function youngBytesOf(worker: Worker): Promise<number> {
  return new Promise((resolve, reject) => {
    worker.once('message', resolve)
    worker.once('error', reject)
  })
}

describe('a thread beside the line', () => {
  it('keeps a small heap for what is short-lived, however busy it has been', async () => {
    expect(getHeapSpaceStatistics().some(({ space_name }) => space_name === 'new_space')).toBe(true)
    expect(await youngBytesOf(startThread(entry))).toBeLessThanOrEqual(6e6)
    expect(await youngBytesOf(new Worker(entry, { execArgv: [] })), 'without a limit').toBeGreaterThan(6e6)
  })
})
