import { describe, expect, it } from 'vitest'
import { ExpectedBacklog } from '../../gateway/stream/expected-backlog.ts'
import { BACKLOG_SECONDS } from '../../shared/protocol/version.ts'
import { picture } from './support/picture.ts'

describe('what was expected, kept for pages that come later', () => {
  it('is one point a second of as long as samples are kept', () => {
    const backlog = new ExpectedBacklog()
    for (let i = 0; i <= 4 * 2 * BACKLOG_SECONDS; i += 1) backlog.note([picture(i * 250, 100)])
    const { timesMs, sides } = backlog.messageOf('z') ?? { timesMs: [], sides: {} }
    expect(timesMs).toHaveLength(BACKLOG_SECONDS + 1)
    expect(timesMs[0]).toBe(BACKLOG_SECONDS * 1000)
    expect(timesMs.at(-1)).toBe(2 * BACKLOG_SECONDS * 1000)
    expect(sides.drive_side?.value.at(-1)).toBe(100)
    expect(JSON.stringify(backlog.messageOf('z')).length).toBeLessThan(32 * 1024)
  })

  it('keeps the edges of a time in which nothing could be expected', () => {
    const backlog = new ExpectedBacklog()
    for (const [tMs, value] of [
      [0, 100],
      [250, null],
      [500, null],
      [750, 101],
    ] as const)
      backlog.note([picture(tMs, value)])
    expect(backlog.messageOf('z')).toMatchObject({
      timesMs: [0, 250, 750],
      sides: { drive_side: { value: [100, null, 101], U: [4, null, 4] } },
    })
  })

  it('is nothing of a zone without geometry, nor of one that is gone', () => {
    const backlog = new ExpectedBacklog()
    backlog.note([picture(0, undefined)])
    expect(backlog.messageOf('z')).toBeUndefined()
    backlog.note([picture(0, 100)])
    backlog.forget('z')
    expect(backlog.messageOf('z')).toBeUndefined()
  })
})
