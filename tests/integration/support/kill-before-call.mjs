/**
 * Preloaded into a process: counts what it asks of the file system from its first word "begin" on, and ends it as
 * kill −9 does before the call whose number stands in KILL_BEFORE. The product knows nothing of it.
 */
import fs from 'node:fs/promises'
import { syncBuiltinESMExports } from 'node:module'
import { devNull } from 'node:os'

const killBefore = Number(process.env.KILL_BEFORE)
let calls = 0
let counting = false
process.on('evenpull-test-begin', () => {
  counting = true
})
process.on('exit', () => {
  process.stdout.write(`calls ${calls}\n`)
})

function counted(holder, name) {
  const real = holder[name]
  holder[name] = function (...args) {
    if (counting) {
      calls += 1
      if (calls === killBefore) process.kill(process.pid, 'SIGKILL')
    }
    return real.apply(this, args)
  }
}

const handle = await fs.open(devNull)
const fileHandle = Object.getPrototypeOf(handle)
await handle.close()
for (const name of ['open', 'rename', 'stat', 'readFile', 'unlink', 'mkdir', 'realpath', 'access', 'readdir'])
  counted(fs, name)
for (const name of ['writeFile', 'sync', 'chmod', 'chown', 'truncate', 'read', 'stat', 'close'])
  counted(fileHandle, name)
syncBuiltinESMExports()
