import { setTimeout as wait } from 'node:timers/promises'
import type { WatchedGateway } from './watched-gateway.ts'

/** Falls by less than this between two collections count as none, MB. */
const STILL_MB = 2
const LEAST_COLLECTIONS = 4
const MOST_COLLECTIONS = 12
const BETWEEN_MS = 500
const LOOK_MS = 500

/** A gateway whose feed has been slowed to that of a line, and which has worked off what came. */
export interface Rested {
  /** After its garbage was collected again and again until nothing more was given back. */
  readonly rssMb: number
  readonly heapMb: number | null
  readonly externalMb: number | null
  /** Highest while it went on at the rate of a line, its garbage left alone, with a visitor; and for how long, s. */
  readonly highestMb: number
  readonly seconds: number
  /** Open files of gateway and polling process: those of the look with the fewest. */
  readonly files: readonly [readonly string[], readonly string[]]
}

export interface RestSettings {
  readonly rateHz: number
  /** How long it is watched at the rate of a line. */
  readonly seconds: number
  /** What a visitor does meanwhile. */
  readonly visit: () => Promise<void>
}

/** Slows the feed, lets the gateway come to rest, looks, and lets the feed go again. */
export async function rest(gateway: WatchedGateway, { rateHz, seconds, visit }: RestSettings): Promise<Rested> {
  gateway.feedAt(rateHz)
  try {
    const rssMb = await settledRssMb(gateway)
    const inside = gateway.inside()
    const files = await Promise.all([fewest(() => gateway.openFiles()), fewest(() => gateway.pollingOpenFiles())])
    const began = performance.now()
    const visited = visit()
    let highestMb = 0
    while (performance.now() - began < seconds * 1000) {
      await wait(LOOK_MS)
      highestMb = Math.max(highestMb, gateway.facts()?.rssMb ?? 0)
    }
    await visited
    return {
      rssMb,
      heapMb: inside?.heapMb ?? null,
      externalMb: inside?.externalMb ?? null,
      highestMb,
      seconds,
      files,
    }
  } finally {
    gateway.feedAt(null)
  }
}

/** RSS once two collections in a row give nothing more back, or after so many. */
async function settledRssMb(gateway: WatchedGateway): Promise<number> {
  let lowestMb = Number.POSITIVE_INFINITY
  let still = 0
  for (let collections = 1; collections <= MOST_COLLECTIONS; collections++) {
    await gateway.collect()
    await wait(BETWEEN_MS)
    const rssMb = gateway.facts()?.rssMb ?? Number.POSITIVE_INFINITY
    still = rssMb < lowestMb - STILL_MB ? 0 : still + 1
    lowestMb = Math.min(lowestMb, rssMb)
    if (collections >= LEAST_COLLECTIONS && still >= 2) break
  }
  return lowestMb
}

const FILE_LOOKS = 8

/** What is written at the moment is open, too: of some looks the one with the fewest. */
async function fewest(look: () => readonly string[]): Promise<readonly string[]> {
  let least = look()
  for (let i = 1; i < FILE_LOOKS; i++) {
    await wait(LOOK_MS / 2)
    const files = look()
    if (files.length < least.length) least = files
  }
  return least
}
