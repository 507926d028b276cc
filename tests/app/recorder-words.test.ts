import { describe, expect, it } from 'vitest'
import { bytesWords, daysWords, KIND_WORDS } from '../../app/set-up/_recorder/recorder-words.ts'
import { KEPT_KINDS } from '../../shared/schemas/recorder.ts'

describe('what is kept, in words', () => {
  it('bytes are told in the unit in which they are at least 1', () => {
    expect([0, 999, 1000, 41_900_000, 999_600_000, 1_240_000_000, 20e9, 5e12, 5e15].map(bytesWords)).toEqual([
      '0 bytes',
      '999 bytes',
      '1.0 kB',
      '41.9 MB',
      '1000 MB',
      '1.2 GB',
      '20.0 GB',
      '5.0 TB',
      '5000 TB',
    ])
  })

  it('days are told as a person counts them', () => {
    expect([1, 60, 700, 1100, 3650].map(daysWords)).toEqual(['1 day', '60 days', '700 days', '3 years', '10 years'])
  })

  it('every kind has words', () => {
    expect(Object.keys(KIND_WORDS)).toEqual([...KEPT_KINDS])
  })
})
