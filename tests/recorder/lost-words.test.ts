import { describe, expect, it } from 'vitest'
import { wordsOf } from '../../gateway/recorder/recorder-words.ts'
import type { WriterStatus } from '../../gateway/recorder/writer-facts.ts'

const status: WriterStatus = { state: 'running', fault: null, freeBytes: null, bytes: null, lostSamples: 0 }

describe('the sentence about recording', () => {
  it('says that every sample is recorded as long as that is so, and no longer once one was lost', () => {
    expect(wordsOf(status, 0, false).sentence).toBe('Every sample is recorded.')
    expect(wordsOf(status, 0, true).sentence).toContain('some since the start could not be kept')
    expect(wordsOf(status, 0, true)).toMatchObject({ state: 'running', error: null })
  })
})
