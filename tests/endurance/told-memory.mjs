/**
 * Preloaded into a gateway under endurance: twice a second it tells its memory from inside, and on request it collects
 * its garbage first, in its threads as well. What is left is what it holds.
 */
import { readFileSync, renameSync, writeFileSync } from 'node:fs'
import { syncBuiltinESMExports } from 'node:module'
import { join } from 'node:path'
import threads from 'node:worker_threads'

const folder = process.env.ENDURANCE_FOLDER
const COLLECT = 'endurance-collect'
const here = import.meta.url

/** Threads are made with no flags of the process: each gets this file, and collects when it is told. */
function reachThreads() {
  const { Worker } = threads
  threads.Worker = class extends Worker {
    constructor(file, options = {}) {
      super(file, { ...options, execArgv: [...(options.execArgv ?? []), '--import', here] })
    }
  }
  syncBuiltinESMExports()
}

function tellMemory() {
  const channel = new BroadcastChannel(COLLECT)
  channel.unref()
  let collected = 0
  const asked = () => {
    try {
      return Number(readFileSync(join(folder, 'collect'), 'utf8'))
    } catch {
      return 0
    }
  }
  setInterval(() => {
    const wanted = asked()
    if (wanted > collected) {
      globalThis.gc()
      channel.postMessage(wanted)
      collected = wanted
    }
    const { heapUsed, external, arrayBuffers } = process.memoryUsage()
    const handles = process.getActiveResourcesInfo().filter((kind) => kind !== 'Timeout' && kind !== 'Immediate').length
    const path = join(folder, 'inside.json')
    writeFileSync(`${path}.new`, JSON.stringify({ heapUsed, external, arrayBuffers, handles, collected }))
    renameSync(`${path}.new`, path)
  }, 500).unref()
}

if (folder !== undefined && threads.isMainThread) {
  reachThreads()
  tellMemory()
} else if (folder !== undefined) {
  const channel = new BroadcastChannel(COLLECT)
  channel.onmessage = () => globalThis.gc()
  channel.unref()
}
