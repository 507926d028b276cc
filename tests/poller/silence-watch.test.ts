import { describe, expect, test } from 'vitest'
import { SilenceWatch } from '../../gateway/poller/silence-watch.ts'

/** Looks every 250 ms from `from` on; what was told, and when. */
function looks(watch: SilenceWatch, from: number, to: number): [number, string][] {
  const told: [number, string][] = []
  for (let now = from; now <= to; now += 250) {
    const found = watch.look(now)
    if (found !== null) told.push([now, found])
  }
  return told
}

describe('silence of the polling process', () => {
  test('is told after 3 s and once, and taken for hung after 10 s and once', () => {
    const watch = new SilenceWatch()
    watch.started(0)
    watch.heard(1000)
    expect(looks(watch, 1000, 30_000)).toEqual([
      [4250, 'silent'],
      [11_250, 'hung'],
    ])
  })

  test('ends with any word', () => {
    const watch = new SilenceWatch()
    watch.started(0)
    watch.heard(0)
    expect(looks(watch, 0, 5000)).toEqual([[3250, 'silent']])
    watch.heard(5000)
    expect(looks(watch, 5000, 8000)).toEqual([])
    expect(looks(watch, 8250, 9000)).toEqual([[8250, 'silent']])
  })

  test('does not count while nobody looked: the gateway itself stood still, and what was said is still unread', () => {
    const watch = new SilenceWatch()
    watch.started(0)
    watch.heard(0)
    expect(looks(watch, 0, 1000)).toEqual([])
    expect(looks(watch, 60_000, 62_000)).toEqual([])
  })

  test('is not expected of a process that starts, for a minute', () => {
    const watch = new SilenceWatch()
    watch.started(0)
    expect(looks(watch, 0, 60_000)).toEqual([])
    expect(looks(watch, 60_250, 61_000)).toEqual([[60_250, 'hung']])
  })
})
