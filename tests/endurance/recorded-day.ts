import { closeSync, openSync, writeSync } from 'node:fs'

const DAY_S = 86_400
/** The web stands for ten minutes in every eight hours. */
const SHIFT_S = 28_800
const STOPPED_S = 600
/** Counts of 0 to 20 mA; the bare roller lies at 4 mA. */
const BARE = 4000

/** A day of two cells as counts, a row every 1/rate s: a slow swing, noise that remembers itself, and stops; seeded. */
export function writeRecordedDay(path: string, rateHz: number): void {
  let seed = 1
  const random = () => {
    seed = (Math.imul(seed, 1_664_525) + 1_013_904_223) >>> 0
    return seed / 2 ** 32 - 0.5
  }
  const noise = [0, 0]
  const file = openSync(path, 'w')
  writeSync(file, 'time,drive_side,operator_side\n')
  for (let second = 0; second < DAY_S; second++) {
    const pull = second % SHIFT_S < STOPPED_S ? 0 : 1
    const swing = 300 * Math.sin((2 * Math.PI * second) / 7200)
    let rows = ''
    for (let i = 0; i < rateHz; i++) {
      const cells = noise.map((before, side) => {
        noise[side] = 0.7 * before + 20 * random()
        return Math.round(BARE + pull * (8000 + 250 * side + swing) + (noise[side] ?? 0))
      })
      rows += `${(second + i / rateHz).toFixed(3)},${cells.join()}\n`
    }
    writeSync(file, rows)
  }
  closeSync(file)
}
