import { describe, expect, it } from 'vitest'
import type { Link, LostReason } from '../../app/_stream/connection.ts'
import { linkSentence } from '../../app/_ui/shell/link-words.ts'

const lost = (reason: LostReason): Link => ({ phase: 'lost', sinceMs: 0, reason })

describe('connection in words', () => {
  it('speaks of the link alone, and says when no figures come over it', () => {
    const live: Link = { phase: 'live', sinceMs: 0 }
    expect(linkSentence(live, true, true)).toBe('Connected to the gateway.')
    expect(linkSentence(live, true, false)).toContain('no new figures')
  })

  it('tells a connection that was lost from one that never was', () => {
    expect(linkSentence(lost('closed'), true, false)).toContain('Connection lost')
    expect(linkSentence(lost('silent'), true, false)).toContain('Connection lost')
    expect(linkSentence(lost('closed'), false, false)).toContain('does not answer')
    expect(linkSentence({ phase: 'connecting', sinceMs: 0 }, false, false)).toContain('Connecting')
  })

  it('says what to do when page and gateway do not fit', () => {
    expect(linkSentence(lost('not-understood'), true, false)).toContain('reload')
  })
})
