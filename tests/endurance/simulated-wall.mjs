/**
 * Preloaded into a gateway under endurance: its wall clock is moved by what stands in a file, so that a month and a set
 * clock can be had in minutes. The product knows nothing of it.
 */
import { readFileSync } from 'node:fs'
import { join } from 'node:path'

const folder = process.env.ENDURANCE_FOLDER
const real = Date.now
let offsetMs = 0

function read() {
  try {
    offsetMs = Number(readFileSync(join(folder, 'wall-offset'), 'utf8'))
  } catch {
    // Not written yet: the wall clock is the machine's.
  }
}

if (folder !== undefined) {
  read()
  Date.now = () => real() + offsetMs
  setInterval(read, 100).unref()
}
