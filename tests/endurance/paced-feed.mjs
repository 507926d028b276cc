/**
 * Preloaded into a gateway under endurance: a replay at full speed goes on only as the gateway says what it has taken,
 * and that word is held back here. So the same process that has lived through weeks in minutes is fed at the rate of a
 * line for a while, and can be looked at as a gateway that has run so long. The product knows nothing of it.
 */
import childProcess from 'node:child_process'
import { readFileSync } from 'node:fs'
import { syncBuiltinESMExports } from 'node:module'
import { join } from 'node:path'

const LOOK_MS = 100

/** Holds back what a polling process is told of readings that were taken; `rateHz` is asked for again and again. */
function paced(child, rateHz) {
  const send = child.send.bind(child)
  let owed = 0
  let allowedFromMs = performance.now()
  const letGo = () => {
    const rate = rateHz()
    const now = performance.now()
    const most = rate === null ? owed : Math.min(owed, Math.floor(((now - allowedFromMs) / 1000) * rate))
    if (rate === null || owed === most) allowedFromMs = now
    else allowedFromMs += (most * 1000) / rate
    owed -= most
    if (most > 0 && child.connected) send({ type: 'taken', readings: most }, () => {})
  }
  child.send = (message, ...rest) => {
    if (message?.type !== 'taken') return send(message, ...rest)
    owed += message.readings
    if (rateHz() === null) letGo()
    return true
  }
  const timer = setInterval(letGo, LOOK_MS)
  timer.unref()
  child.once('exit', () => clearInterval(timer))
  return child
}

/** What stands in the file: readings a second; nothing, or anything else, is as fast as they are taken. */
function rateIn(path) {
  let rate = null
  const read = () => {
    try {
      const text = readFileSync(path, 'utf8')
      rate = text === '' || !Number.isFinite(Number(text)) ? null : Number(text)
    } catch {
      rate = null
    }
  }
  read()
  setInterval(read, LOOK_MS).unref()
  return () => rate
}

const folder = process.env.ENDURANCE_FOLDER
if (folder !== undefined) {
  const rateHz = rateIn(join(folder, 'feed-rate'))
  const { fork } = childProcess
  childProcess.fork = (...args) => paced(fork(...args), rateHz)
  syncBuiltinESMExports()
}
